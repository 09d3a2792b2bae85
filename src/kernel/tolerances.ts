/** Every tolerance of the project: name, unit in the name or beside it, value, reason. */

/** mm. The solve stops once the governing gap is this close to its target: far below anything measured, far above rounding at 1000 mm. */
export const SOLVED_WITHIN_MM = 1e-10;
/** rad. A pitch or roll beyond 3 degrees means that something was measured wrongly (common practice: about half a degree). */
export const STEEPEST_TILT_RAD = (3 * Math.PI) / 180;
/** mm. A chord stands in for an arc when areas or drawings need a polygon. */
export const FLATTEN_WITHIN_MM = 0.005;
/** mm. One rounding step of a program's number with 3 decimals. */
export const PROGRAM_STEP_MM = 0.001;
/** mm. One rounding step of a program's number with 4 decimals of an inch. */
export const PROGRAM_STEP_INCH_MM = 0.00254;
/** mm. The cusp between lanes stays under this. */
export const CUSP_MOST_MM = 0.01;
/** mm, standard deviation. How far a practised hand with a file misses the depth it aims at (memory, common practice). */
export const FILE_HAND_MM = 0.02;
/** rad. Directions this close are the same: rounding only, and R (1 - cos) is nothing at any radius of a pocket. */
export const SAME_ANGLE_RAD = 1e-12;
/** rad. A body clamped further out of level than this is refused: over 17 mm of pocket its walls would lean 0.6 mm over the cutter (derived). */
export const STEEPEST_MOUNTING_RAD = (2 * Math.PI) / 180;
/** mm. Four floor heights that miss one plane by more than this warn: more than a hand-held indicator's reading error (memory). */
export const MOUNTING_MISFIT_MM = 0.03;
