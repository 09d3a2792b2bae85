/** What a field is called, and how it is measured from where. */
export interface FieldWords {
  readonly name: string;
  readonly how: string;
}

/** Of a job's fields. Lengths may be written like 0.6, 25-1/2, 1/16 in, 0.6 mm. */
export const JOB_FIELDS: Readonly<Record<string, FieldWords>> = {
  title: { name: 'Name of the job', how: 'For the sheets and the report.' },
  units: { name: 'Unit', how: 'For lengths without one of their own. 1/16 in or 0.6 mm may stand in any field.' },
  hand: { name: 'Hand', how: 'Seen from the front.' },
  'scale.length': {
    name: 'Scale length',
    how: "Nut's face to the saddle line without compensation: twice the way from the nut to the 12th fret.",
  },
  'scale.frets': { name: 'Frets', how: 'How many, without the nut.' },
  'strings.count': { name: 'Strings', how: 'How many.' },
  'strings.spreadAtNut': { name: 'Strings at the nut', how: 'Middle of the first string to the middle of the last.' },
  'strings.spreadAtSaddle': { name: 'Strings at the saddles', how: 'The same over the saddles.' },
  'strings.compensation': {
    name: 'Compensation',
    how: 'How far each saddle stands behind the scale length: one value, or one for each string with commas between, bass first.',
  },
  'neck.nutToMouth': { name: 'Nut to mouth', how: "Nut's face to the pocket's mouth edge, on the centreline, neck bolted on." },
  'neck.seatToCrown': { name: 'Seat to crowns', how: "From the heel's flat to the tops of the frets, at the mouth." },
  'neck.nutGap': {
    name: 'Gap at the nut',
    how: 'Underside of the outer strings over the line of the fret tops, carried on to the nut. Or measure the gap over the first fret, further down.',
  },
  'neck.radius': {
    name: 'Fret radius',
    how: 'Of the fret tops, with a radius gauge. Leave it out where they are flat; two values where it widens.',
  },
  'neck.relief': { name: 'Relief', how: 'Hollow of the neck between the first and the last fret, strung.' },
  'neck.fallAway.fromFret': { name: 'Fall-away from fret', how: 'From which fret on the last ones are filed lower.' },
  'neck.fallAway.drop': { name: 'Fall-away', how: 'How far the last fret lies under a straightedge on the others.' },
  'neck.crownTilt': {
    name: 'Tilt of the frets, degrees',
    how: "Fret tops against the heel's flat: positive where they already fall towards the nut.",
  },
  'neck.heelWood': { name: 'Wood in the heel', how: "From the heel's flat up to the fretboard: what the screws may hold in." },
  'pocket.length': { name: 'Pocket length', how: 'Mouth edge to rear wall, on the centreline.' },
  'pocket.width': { name: 'Pocket width', how: 'Wall to wall, at the rear.' },
  'pocket.depth': { name: 'Pocket depth', how: "Body's top down to the floor as found." },
  'pocket.body': { name: 'Body thickness', how: 'At the pocket.' },
  'pocket.cornerRadius': { name: 'Corner radius', how: 'Of the two rear corners; leave it out where they are square.' },
  'pocket.clearBefore': {
    name: 'Free space before the mouth',
    how: "Across the pocket's width, down to the deepest cut: no horn, clamp or bench. Needed for a router program.",
  },
  'pocket.widthAtMouth': { name: 'Width at the mouth', how: 'Where it is not as wide as at the rear.' },
  'pocket.leastFloor': { name: 'Least wood under the pocket', how: 'The thinnest you accept; 10 mm if you say nothing.' },
  'pocket.screws': {
    name: 'Screw holes',
    how: 'x from the mouth edge towards the bridge; y from the centreline, positive on the treble side of a right-handed instrument (the bass side of a left-handed one).',
  },
  'pocket.mounted.mouthBass': {
    name: 'As clamped: floor at the mouth, bass side',
    how: "Only where the body lies out of level on the machine: this corner's height over your Z0, with an indicator; all four corners.",
  },
  'pocket.mounted.mouthTreble': { name: 'As clamped: at the mouth, treble side', how: 'The same there.' },
  'pocket.mounted.rearBass': { name: 'As clamped: at the rear, bass side', how: 'The same there.' },
  'pocket.mounted.rearTreble': { name: 'As clamped: at the rear, treble side', how: 'The same there.' },
  'screw.length': { name: 'Screw length', how: 'Under the head to the tip.' },
  'screw.plate': { name: 'Plate or washer', how: 'Thickness under the screw heads.' },
  'screw.leastHold': { name: 'Least hold', how: 'Thread you want in the heel.' },
  'bridge.travel': { name: 'Saddle travel', how: 'From all the way down to all the way up.' },
  'bridge.lowest': {
    name: 'Saddle seats at their lowest',
    how: "Over the body's top: from a drawing, before there is a neck to measure.",
  },
  'bridge.radius': { name: 'Bridge radius', how: 'Of the arc that the strings lie on at the saddles.' },
  'asFound.lastFretGap': {
    name: 'Gap over the last fret',
    how: "Underside of the outer strings over the last fret's top. The one that counts most.",
  },
  'asFound.raised': {
    name: 'Saddles raised by',
    how: 'Where a string lay on a fret: raise the saddles by an amount you know, and read again.',
  },
  'asFound.straightedge': {
    name: 'Straightedge',
    how: "Saddle's seat over a straightedge that lies on the frets and is carried on to the saddle; below it is negative.",
  },
  'asFound.firstFretGap': { name: 'Gap over the first fret', how: 'Instead of the gap at the nut.' },
  'asFound.edge': {
    name: 'String to edge',
    how: "Outer strings' middles to the edge of the fretboard, at the last fret: for the sideways set.",
  },
  'target.floor': { name: 'Slope', how: 'One slope along the pocket; or bass and treble side corrected apart.' },
  'target.gap': { name: 'Saddles down: the gap', how: 'Of the highest string over its nearest fret; 0 if you say nothing.' },
  'target.highest': {
    name: 'Saddles up: at least',
    how: 'Of the lowest string over the last fret; 3 mm if you say nothing. Too low a string is cut for up to here.',
  },
  'target.wished': { name: 'Saddles up: wished', how: '6.35 mm, a quarter inch, if you say nothing. Only compared with.' },
  'target.within': { name: 'Near enough', how: 'Within this of the gap wanted you stop; 0.05 mm if you say nothing.' },
  'target.skim': { name: 'Skim', how: 'To take off the whole floor evenly, as a clean-up.' },
};

/** Of a shop file's fields. */
export const SHOP_FIELDS: Readonly<Record<string, FieldWords>> = {
  units: { name: 'Unit of the shop file', how: 'For lengths without one of their own.' },
  'sheet.paper': { name: 'Paper', how: 'What your printer holds.' },
  'sheet.measuredX': { name: 'Check bar across', how: 'As it came out of your printer; it is meant to be 100 mm.' },
  'sheet.measuredY': { name: 'Check bar down', how: 'The same.' },
  'cutter.diameter': { name: "Cutter's diameter", how: 'Flat-bottomed; measure it, worn cutters are thinner.' },
  'cutter.length': { name: "Cutter's length", how: 'From the tip to the collet nut.' },
  'program.units': { name: "Controller's unit", how: 'What your controller is set to read.' },
  'program.turn': { name: 'How the body lies', how: 'Turned anticlockwise seen from above, in degrees.' },
  'program.look': { name: 'Stop to look', how: 'Where the program stops for you.' },
  'cutter.flutes': { name: 'Cutting edges', how: 'Of the cutter.' },
  'spindle.speed': { name: 'Turns a minute', how: 'Of the spindle, in the wood.' },
  'spindle.warmUp': { name: 'Seconds to warm up', how: 'Until it runs at speed; the program waits for as long.' },
  'feed.cut': { name: 'Feed, cutting', how: 'Per minute.' },
  'feed.plunge': { name: 'Feed, straight down', how: 'Per minute.' },
  'pass.depth': {
    name: 'Depth of a pass',
    how: 'How deep the cutter goes at once: the whole floor is cut to this, then deeper by as much again.',
  },
  'pass.width': {
    name: 'Lane to lane',
    how: 'From the middle of one cut to the middle of the next one beside it: less than the cutter is wide, or wood stays between.',
  },
  'clearance.above': { name: 'Safe height', how: "Over the body's top." },
  'clearance.wall': { name: 'Off the walls', how: 'The chisel takes the rest.' },
  'clearance.beyondMouth': { name: 'Beyond the mouth', how: 'From the mouth edge to the cutter, where it goes down.' },
  zeroing: {
    name: 'How truly you set the zero',
    how: 'How far the Z you touch off may be out, up or down: the depths of the program are only as true as this.',
  },
  leave: { name: 'Left on the floor', how: 'For the file.' },
  'rails.length': { name: "Rails' length", how: 'For a router held by hand.' },
  'rails.base': { name: 'Router base', how: 'Its width.' },
  'rim.diameter': { name: "Second cutter's diameter", how: 'Flat-bottomed, and smaller than the first.' },
  'rim.length': { name: "Second cutter's length", how: 'From the tip to the collet nut.' },
  'rim.flutes': { name: 'Its cutting edges', how: 'Two if you say nothing.' },
  'rim.speed': { name: 'Its turns a minute', how: "The first cutter's if you say nothing." },
  'rim.cut': { name: 'Its feed, cutting', how: 'Per minute.' },
  'rim.plunge': { name: 'Its feed, straight down', how: 'Per minute.' },
  'rim.depth': { name: 'Its depth of a pass', how: "The first cutter's if you say nothing." },
  'rim.width': { name: 'Its lane to lane', how: 'Two fifths of its diameter at most if you say nothing.' },
};
