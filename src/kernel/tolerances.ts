/** Every tolerance and every limit of the project: name, unit in the name or beside it, value, reason. */

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
/** mm. Less than this is not measured while it is filed off: a few strokes (memory, common practice). */
export const FEW_STROKES_MM = 0.01;
/** mm. Nearer to the last depth than this a stop of the plan would be none: a file's step is coarser. */
export const LEAST_STOP_MM = 0.01;
/** rad. Directions this close are the same: rounding only, and R (1 - cos) is nothing at any radius of a pocket. */
export const SAME_ANGLE_RAD = 1e-12;
/** rad. A body clamped further out of level than this is refused: over 17 mm of pocket its walls would lean 0.6 mm over the cutter (derived). */
export const STEEPEST_MOUNTING_RAD = (2 * Math.PI) / 180;
/** mm. Four floor heights that miss one plane by more than this warn: more than a hand-held indicator's reading error (memory). */
export const MOUNTING_MISFIT_MM = 0.03;

/** One-sided differences that differ by more than this part of the larger mark a kink (geometry.md, "Uncertainty"). */
export const KINK_FROM = 0.1;
/** Kinks in what makes up less than this part of the variance do not count. */
export const KINK_SHARE_FROM = 0.01;

// Limits on what is read, so that no file makes the work endless: each is many times what a sound file has.

/** Bytes of any file. A program of MOST_PROGRAM_LINES has about 8 MB; a drawing that was traced from a photograph carries the picture. */
export const MOST_TEXT_BYTES = 16 * 1024 * 1024;
/** Characters of a job or shop file: a page or two of text hold any job, and fifty test fits with notes are a few pages more. */
export const MOST_YAML_CHARACTERS = 65_536;
/** Words, signs, blanks and line ends of a job or shop file: the longest job has about 6000. Some of the reader's work is their square. */
export const MOST_YAML_PARTS = 20_000;
/** Collections inside one another in a job or shop file, which needs 5; the reader calls itself for each. */
export const DEEPEST_YAML = 32;
/** Problems told of one file: nobody reads more, and the first ones mend most of the others. */
export const MOST_FINDINGS_TOLD = 100;
/** Lines of a router program: the finest lanes in the greatest pocket; a machine at work on them takes days. */
export const MOST_PROGRAM_LINES = 220_000;
/** Corners of a drawn outline, its curves as chords. Every pair of edges is looked at, so the work is their square. */
export const MOST_OUTLINE_CORNERS = 4000;
/** Characters of a drawn path: MOST_OUTLINE_CORNERS curves, each with its numbers written at length. */
export const MOST_PATH_CHARACTERS = 500_000;
