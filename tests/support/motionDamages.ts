import {
  at,
  type Damage,
  type Damaged,
  DECIMALS,
  edit,
  every,
  FIRST_LANE,
  insert,
  isLast,
  LAST_LANE,
  lane,
  last,
  length,
  lift,
  lineOf,
  plunge,
  remove,
  type Sound,
  text,
  value,
  whole,
  word,
} from './damage.ts';

/** A fall into solid wood in moves of one rounding step each; `fall` is the move that ends `by` mm deep. */
const tinySteps = (name: string, fall: (by: number, sound: Sound) => string): Damage =>
  insert(
    name,
    'entry',
    at(/^G0 X/, 1),
    (s) => {
      const step = s.unit === 1 ? 0.001 : 0.00254;
      return [
        `G0 X${length(10, s)} Y0`,
        `G1 Z${length(0, s)} F${Math.floor(3000 / s.unit) / 10}`,
        ...[1, 2, 3, 4].map((n) => fall(n * step, s)),
        `G1 Z${length(25.4, s)}`,
      ];
    },
    -3,
  );

/** Damage to what the program does. */
export const MOTION_DAMAGES: readonly Damage[] = [
  // Spindle.
  remove('never switched on', 'spindle', at(/^M3/), 1, (_line, rest) => lineOf(rest, plunge)),
  whole('switched off for on', 'spindle', ({ lines }) => lines.map((l) => l.replace('M3', 'M5')), at(plunge)),
  edit('no speed', 'spindle', at(/^M3/), (l) => l.replace(/ S\d+/, '')),
  edit('a digit of the speed lost', 'spindle', at(/^M3/), (l) => l.replace('00', '0')),
  edit('a digit of the speed too many', 'spindle', at(/^M3/), (l) => l.replace('00', '000')),
  remove('no warm-up', 'spindle', at(/^G4/), 1, (_line, rest) => lineOf(rest, plunge)),
  { ...edit('a short warm-up', 'spindle', at(/^G4/), (l) => l.replace('P4', 'P.4')), make: shortWarmUp },
  remove('no stop after the warm-up', 'spindle', at(/^M0/, 1), 1, (_line, rest) => lineOf(rest, plunge)),
  insert('off in the wood', 'spindle', LAST_LANE, () => ['M5']),
  insert('a stop in the wood', 'spindle', LAST_LANE, () => ['M0']),
  insert('a dwell in the wood', 'spindle', LAST_LANE, () => ['G4 P1']),
  insert('a speed in the wood', 'spindle', LAST_LANE, () => ['S16000']),
  insert('off between levels, and not on again', 'spindle', at(/^G0 X/, -8), () => ['M5'], 2),
  insert('off and on between levels, without waiting', 'spindle', at(/^G0 X/, -8), () => ['M5', 'M3'], 2),
  // Feed.
  whole('no feed anywhere', 'feed', ({ lines }) => lines.map((l) => l.replace(/ F\S+/, '')), at(plunge)),
  edit('a feed of nothing', 'feed', at(plunge, 2), (l) => l.replace(/F\S+/, 'F0')),
  edit('a digit of the feed too many', 'feed', LAST_LANE, (l, { unit }) => l.replace(/F\S+/, `F${unit === 1 ? 12000 : 472}`)),
  edit('a digit of the feed lost', 'feed', FIRST_LANE, (l) => l.replace(/F\d/, 'F')),
  edit('the plunge without its own feed', 'feed', at(plunge, 2), (l) => l.replace(/ F\S+/, '')),
  {
    name: 'a plunge in tiny steps at the cutting feed',
    rule: 'feed',
    make: (sound) => {
      const from = lineOf(sound.lines, plunge, 2);
      const z = value(sound.lines[from - 1] as string, 'Z');
      const place = DECIMALS[sound.unit];
      const steps = Array.from({ length: 40 }, (_, i) => `G1 Z${(z + (39 - i) / 10 ** place).toFixed(place)}`);
      const fast = `F${(1200 / sound.unit - 0.001).toFixed(3)}`;
      const slow = `F${(300 / sound.unit - 0.001).toFixed(3)}`;
      const lines = sound.lines.toSpliced(from - 1, 1, `${steps[0]} ${slow}`, `${steps[1]} ${fast}`, ...steps.slice(2));
      return { text: text(lines), line: from + 2 };
    },
  },
  // Rapids.
  edit('a rapid down', 'rapids', at(plunge, 3), (l) => l.replace('G1', 'G0')),
  edit('a rapid in the wood', 'rapids', LAST_LANE, (l) => l.replace('G1', 'G0')),
  edit('a rapid up', 'rapids', at(lift, 3), (l) => l.replace('G1', 'G0')),
  remove('the first height lost', 'rapids', at(/^G0 Z/), 1, (line) => line),
  whole(
    'sideways before up',
    'rapids',
    ({ lines }) => {
      const up = lineOf(lines, /^G0 Z/) - 1;
      return lines.with(up, lines[up + 1] as string).with(up + 1, lines[up] as string);
    },
    at(/^G0 X/),
  ),
  edit('the first height with a place', 'rapids', at(/^G0 Z/), (l) => `${l} X0`),
  remove('a lift lost', 'rapids', at(lift, 2), 1, (line) => line),
  {
    name: 'a lift that stops low',
    rule: 'rapids',
    make: (sound) => {
      const line = lineOf(sound.lines, lift, 2);
      return { text: text(sound.lines.with(line - 1, `G1 Z${length(25.3, sound)}`)), line: line + 1 };
    },
  },
  // Walls.
  edit('a digit of Y changed', 'walls', LAST_LANE, (l, s) => word(l, 'Y', (v) => v - Math.sign(v) * -(1 / s.unit), s)),
  edit('X too far by one', 'walls', LAST_LANE, (l, s) => word(l, 'X', (v) => v + 1 / s.unit, s)),
  edit('X too far by a little', 'walls', LAST_LANE, (l, s) => word(l, 'X', (v) => v + 0.008 / s.unit, s)),
  edit('the sign of X turned', 'walls', LAST_LANE, (l, s) => word(l, 'X', (v) => -v, s)),
  edit('the point of X lost', 'walls', LAST_LANE, (l) => l.replace('.', '')),
  edit('X and Y exchanged', 'walls', LAST_LANE, (l) => l.replace('X', '#').replace('Y', 'X').replace('#', 'Y')),
  whole(
    'the zero shifted along Y',
    'walls',
    every('Y', (v, s) => v + 0.5 / s.unit),
    at(plunge, 6),
  ),
  whole(
    'the zero shifted along X',
    'walls',
    every('X', (v, s) => v + 1 / s.unit),
    FIRST_LANE,
  ),
  whole(
    'X mirrored',
    'walls',
    every('X', (v) => -v),
    FIRST_LANE,
  ),
  whole(
    'all lengths times 25.4',
    'walls',
    (s) => ['X', 'Y'].reduce((lines, l) => every(l, (v) => v * 25.4)({ ...s, lines }), s.lines),
    at(plunge),
  ),
  whole(
    'the places before the first plunge lost',
    'walls',
    ({ lines }) => lines.filter((l, i) => !l.startsWith('G0 X') || i > lineOf(lines, plunge)),
    at(plunge),
  ),
  // Floor.
  edit('one place deeper by 0.01 mm', 'floor', LAST_LANE, (l, s) => word(l, 'Z', (v) => v - 0.01 / s.unit, s)),
  edit('the sign of Z turned', 'floor', FIRST_LANE, (l, s) => word(l, 'Z', (v) => -v, s)),
  edit('Z deeper by one', 'floor', FIRST_LANE, (l, s) => word(l, 'Z', (v) => v - 1 / s.unit, s)),
  edit('a plunge too deep', 'floor', at(plunge), (l, s) => word(l, 'Z', (v) => v - 1 / s.unit, s)),
  whole(
    'the zero shifted down',
    'floor',
    every('Z', (v, s) => v - 0.05 / s.unit),
    at(plunge, -8),
  ),
  // Bite and entry.
  remove('the first level lost', 'bite', at(/^G0 X/, 1), 36, (line) => line + 2),
  whole(
    'the last level first',
    'bite',
    ({ lines }) => [...lines.slice(0, 13), ...lines.slice(49, 85), ...lines.slice(13, 49), ...lines.slice(85)],
    FIRST_LANE,
  ),
  insert(
    'a plunge into the wood',
    'entry',
    at(/^G0 X/, 1),
    (s) => [`G0 X${length(10, s)} Y0`, `G1 Z${length(-0.017, s)} F${Math.floor(3000 / s.unit) / 10}`, `G1 Z${length(25.4, s)}`],
    -1,
  ),
  insert(
    'a ramp into the wood',
    'entry',
    at(/^G0 X/, 1),
    (s) => [
      `G0 X${length(10, s)} Y0`,
      `G1 Z${length(0.02, s)} F${Math.floor(3000 / s.unit) / 10}`,
      `G1 X${length(10.3, s)} Z${length(-0.015, s)}`,
      `G1 Z${length(25.4, s)}`,
    ],
    -1,
  ),
  tinySteps('a plunge into the wood in tiny steps', (by, s) => `G1 Z${length(-by, s)}`),
  tinySteps('a ramp into the wood in tiny steps', (by, s) => `G1 X${length(10 + by, s)} Z${length(-by, s)}`),
  // Finish.
  remove('two lanes of the last level lost', 'finish', at(/^G0 X/, -6), 8, (_line, rest) => rest.length),
  remove('the last level lost', 'finish', at(/^G0 X/, -8), 36, (_line, rest) => rest.length),
  whole(
    'the last level too high',
    'finish',
    (s) => s.lines.map((l, i) => (isLast(s, i) && lane.test(l) ? word(l, 'Z', (v) => v + 0.03 / s.unit, s) : l)),
    last,
  ),
  whole(
    'the last level too short',
    'finish',
    (s) =>
      s.lines.map((l, i) => (isLast(s, i) && lane.test(l) && !l.includes('X-') ? word(l, 'X', (v) => v - 4 / s.unit, s) : l)),
    last,
  ),
  whole(
    'the last level too narrow',
    'finish',
    (s) => s.lines.map((l, i) => (isLast(s, i) && lane.test(l) ? word(l, 'Y', (v) => v * 0.8, s) : l)),
    last,
  ),
  whole(
    'the zero shifted up',
    'finish',
    every('Z', (v, s) => v + 0.05 / s.unit),
    last,
  ),
  // End.
  remove('M5 lost', 'end', at(/^M5/), 1, (_line, rest) => rest.length),
  remove('M2 lost', 'end', at(/^M2/), 1, (_line, rest) => rest.length),
  remove('the last lift lost', 'end', at(lift, -1), 1, (_line, rest) => rest.length),
  insert('M2 too early', 'end', at(/^G0 X/, -3), () => ['M2'], 1),
  whole('a move after the end', 'end', ({ lines }) => [...lines, 'G0 Z50'], last),
  whole(
    'the program twice',
    'end',
    ({ lines }) => [...lines, ...lines],
    (lines) => lineOf(lines, /^M2/) + 2,
  ),
  whole('M5 after the end', 'end', ({ lines }) => [...lines.filter((l) => l !== 'M5'), 'M5'], last),
];

function shortWarmUp({ lines }: Sound): Damaged {
  return { text: text(lines.map((l) => l.replace('P4', 'P3.9'))), line: lineOf(lines, plunge) };
}
