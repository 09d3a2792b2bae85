/**
 * What each length of a job or shop file may be, in mm, by its place in the file. The ranges are wide: they hold every
 * instrument of the kind we know of, and exist to catch inches in a millimetre file (and the other way round), a slipped
 * decimal point and a figure under the wrong key. Bounds without a source are ours, from memory of the trade.
 */
export interface Range {
  readonly least: number;
  readonly most: number;
  /** Why these bounds; findings print it. */
  readonly why: string;
}

const range = (least: number, most: number, why: string): Range => ({ least, most, why });

const RADIUS = range(40, 3000, 'a crown rounder or flatter than any; leave the key out where it is flat');
const GAP = range(0, 30, 'a gap under a string');
const RAISED = range(0, 40, 'no saddle rises further');
const SEAT = range(-30, 60, 'a saddle seat over the top of the body');
const CHECK_BAR = range(80, 120, 'the bar is meant to be 100 mm; a print that far off is scaled to fit');

/** Readings of `asFound` and `fits` share their ranges; a pair's sides share the key's. */
export const JOB_RANGES = {
  'scale.length': range(300, 1300, 'from the smallest travel instruments to upright basses'),
  'strings.spreadAtNut': range(8, 120, 'outer string to outer string at the nut'),
  'strings.spreadAtSaddle': range(10, 200, 'outer string to outer string at the saddles'),
  'strings.compensation': range(-25, 25, 'how far a saddle stands behind the scale length'),
  'neck.nutToMouth': range(150, 1200, 'most of the neck stands free of the body'),
  'neck.seatToCrown': range(5, 80, 'heel, fretboard and fret together'),
  'neck.nutGap': range(0, 10, 'higher than any nut slot over the crowns'),
  'neck.radius': RADIUS,
  'neck.relief': range(-1, 3, 'from a slight back bow to a neck that must be straightened first'),
  'neck.fallAway.drop': range(0, 3, 'what is filed off the last frets'),
  'neck.heelWood': range(5, 60, 'the wood under the fretboard'),
  'pocket.length': range(30, 200, 'mouth to rear wall'),
  'pocket.width': range(20, 150, 'as wide as a neck at the body'),
  'pocket.widthAtMouth': range(20, 150, 'as wide as a neck at the body'),
  'pocket.cornerRadius': range(0, 40, 'no corner is cut with a cutter that big'),
  'pocket.depth': range(5, 60, 'from the top of the body to the floor as found'),
  'pocket.body': range(10, 150, 'from a thin slab to a hollow body'),
  'pocket.leastFloor': range(0, 80, 'the wood left under the pocket'),
  'pocket.clearBefore': range(0, 500, 'free space in front of the mouth'),
  'pocket.screws.x': range(-50, 250, 'near the pocket, from the mouth edge'),
  'pocket.screws.y': range(-100, 100, 'near the pocket, from the centreline'),
  'pocket.mounted': range(-20, 20, 'floor heights of a body clamped on a table'),
  'screw.length': range(10, 150, 'a screw through the body into the heel'),
  'screw.plate': range(0, 20, 'plate, ferrule or washer under the screw head'),
  'screw.leastHold': range(0, 80, 'the thread in the heel'),
  'bridge.travel': range(0, 40, 'no saddle travels further'),
  'bridge.lowest': SEAT,
  'bridge.radius': RADIUS,
  'asFound.lastFretGap': GAP,
  'asFound.straightedge': range(-40, 40, 'a saddle seat over or under the straightedge'),
  'asFound.firstFretGap': range(0, 10, 'a gap over the first fret'),
  'asFound.edge': range(-5, 40, 'outer string to the edge of the fretboard'),
  'asFound.raised': RAISED,
  'fits.depth': range(0, 30, 'the depth reached at the deepest edge'),
  'fits.lastFretGap': GAP,
  'fits.raised': RAISED,
  'fits.lowest': range(
    0.01,
    10,
    'a leaf that goes under a string with the saddles all the way down; leave it out where none does',
  ),
  'fits.highest': range(0.1, 40, 'a rod that goes under the strings with the saddles all the way up'),
  'fits.shim': range(0, 10, 'a shim that lay in the pocket at this fit'),
  'target.gap': range(-3, 10, 'the string at its lowest over its nearest fret'),
  'target.within': range(0.001, 2, 'close enough to stop'),
  'target.highest': range(0, 30, 'the string at its highest over the last fret'),
  'target.wished': range(0, 40, 'the string at its highest over the last fret'),
  'target.skim': range(0, 10, 'a skim is no more than a clean-up of the floor'),
} as const satisfies Readonly<Record<string, Range>>;

/** So low that the usual 300 mm, written bare into an inch file (7.6 m a minute, straight down), is taken for what it is. */
const PLUNGE = range(10, 5000, 'per minute, straight down');

export const SHOP_RANGES = {
  'cutter.diameter': range(1, 40, 'router cutters'),
  'cutter.length': range(5, 150, 'from the tip to the collet nut'),
  'rim.diameter': range(0.5, 40, 'a small router cutter'),
  'rim.length': range(5, 150, 'from the tip to the collet nut'),
  'rim.cut': range(50, 20000, 'per minute'),
  'rim.plunge': PLUNGE,
  'rim.depth': range(0.05, 5, 'less is lost in the proof, more breaks a small cutter'),
  'rim.width': range(0.1, 40, 'the step from lane to lane'),
  'feed.cut': range(50, 20000, 'per minute'),
  'feed.plunge': PLUNGE,
  'pass.depth': range(0.05, 5, 'less is lost in the proof, more tears the wood at the mouth'),
  'pass.width': range(0.1, 40, 'the step from lane to lane'),
  'clearance.above': range(1, 200, 'the clear height over the top of the body'),
  'clearance.wall': range(0, 3, 'what the cutter keeps from the walls'),
  'clearance.beyondMouth': range(0.5, 100, 'room to go down outside the body'),
  zeroing: range(0, 1, 'how truly you set the zero'),
  leave: range(0, 3, 'wood left for the file'),
  'sheet.measuredX': CHECK_BAR,
  'sheet.measuredY': CHECK_BAR,
  'rails.length': range(50, 1500, 'rails for a hand router'),
  'rails.base': range(40, 500, 'the base of a hand router'),
} as const satisfies Readonly<Record<string, Range>>;

/** Degrees. A heel that leans further was measured wrongly. */
export const CROWN_TILT_DEGREES = range(-5, 5, 'the crowns against the heel');
/** 12 is the fewest that the gaps are looked for on; three octaves are the most that are made. */
export const FRETS = range(12, 36, 'frets on the neck');
/** Two outer strings are needed to read a bass and a treble side. */
export const STRINGS = range(2, 14, 'strings');
export const FLUTES = range(1, 12, 'cutting edges of the cutter');
export const SPEED_PER_MINUTE = range(500, 60000, 'turns of a router spindle per minute');
export const WARM_UP_SECONDS = range(0, 600, 'seconds for the spindle to come up to speed');
