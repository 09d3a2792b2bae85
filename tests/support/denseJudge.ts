/**
 * A slow judge of router programs that shares no code with the proof: it walks every move in short steps over a dense field of points and
 * looks at each rule in the plainest way. It knows rectangular pockets, and others by the corners of their walls. What it calls broken is broken beyond its own mesh.
 */

export interface DenseCase {
  readonly length: number;
  readonly width: number;
  readonly pocketDepth: number;
  readonly clearBefore: number;
  /** Depth below the floor as found: d0 + dx x + dy y. */
  readonly d0: number;
  readonly dx: number;
  readonly dy: number;
  readonly radius: number;
  readonly cutterLength: number;
  readonly speed: number;
  readonly warmUp: number;
  readonly cut: number;
  readonly plunge: number;
  readonly passDepth: number;
  /** What may stay over the higher of floor and reach: cusp, leave and 0.01 mm. */
  readonly mayStay: number;
  readonly above: number;
  readonly wall: number;
  /**
   * Corners of a pocket that is no rectangle, from the mouth's corner of least y round to that of greatest y; `length` is then its greatest x and
   * `width` twice its greatest |y|.
   */
  readonly corners?: readonly { readonly x: number; readonly y: number }[];
}

/** How far inside the walls a place is, the side walls carried on straight before the mouth, or the mouth's width there; negative outside. */
function inWalls({ corners, length, width }: DenseCase, x: number, y: number): number {
  if (corners === undefined) return Math.min(width / 2 - Math.abs(y), length - x);
  const on = (a: Place2, b: Place2): Place2 => ({ x: a.x + 9 * (a.x - b.x), y: a.y + 9 * (a.y - b.y) });
  const all = [
    on(corners[0] as Place2, corners[1] as Place2),
    ...corners,
    on(corners.at(-1) as Place2, corners.at(-2) as Place2),
  ];
  let near = Number.POSITIVE_INFINITY;
  let turned = 0;
  all.forEach((a, i) => {
    const b = all[(i + 1) % all.length] as Place2;
    // Seen from the place, walls all round make one whole turn; from outside they make none.
    turned += Math.atan2((a.x - x) * (b.y - y) - (a.y - y) * (b.x - x), (a.x - x) * (b.x - x) + (a.y - y) * (b.y - y));
    if (i === all.length - 1) return;
    const long = (b.x - a.x) ** 2 + (b.y - a.y) ** 2;
    const t = Math.min(1, Math.max(0, ((x - a.x) * (b.x - a.x) + (y - a.y) * (b.y - a.y)) / long));
    near = Math.min(near, Math.hypot(a.x + t * (b.x - a.x) - x, a.y + t * (b.y - a.y) - y));
  });
  const inWidth = x < 0 ? Math.min(y - (corners[0] as Place2).y, (corners.at(-1) as Place2).y - y) : near;
  return Math.min(inWidth, Math.abs(turned) > 3 ? near : -near);
}

interface Place2 {
  readonly x: number;
  readonly y: number;
}

interface Place {
  x: number;
  y: number;
  z: number;
}

interface Leg {
  readonly rapid: boolean;
  readonly from: Place;
  readonly to: Place;
  readonly feed: number;
}

type Event = Leg | string;

/** mm between the points of the field, and between the places where a walk stops. */
const MESH = 0.23;
const WALK = 0.08;

/** The words of a line as a machine sees them: comments and blanks gone, letters upper case. */
function wordsOf(line: string): [string, number][] | undefined {
  let bare = '';
  let depth = 0;
  for (const c of line) {
    if (c === '(') depth += 1;
    else if (c === ')') depth -= 1;
    else if (depth === 0 && c !== ' ' && c !== '\t' && c !== '\r') bare += c.toUpperCase();
    if (depth < 0 || depth > 1) return undefined;
  }
  if (depth !== 0) return undefined;
  const words: [string, number][] = [];
  let i = 0;
  while (i < bare.length) {
    const letter = bare[i] as string;
    if (letter < 'A' || letter > 'Z') return undefined;
    let j = i + 1;
    while (j < bare.length && '-.0123456789'.includes(bare[j] as string)) j += 1;
    const number = bare.slice(i + 1, j);
    if (number === '' || Number.isNaN(Number(number))) return undefined;
    words.push([letter, Number(number)]);
    i = j;
  }
  return words;
}

/** Runs the text as a three-axis control that keeps its motion word would; a text comes back where it does what none should. */
function run(text: string): { readonly events: readonly Event[]; readonly step: number } | string {
  const at: Place = { x: Number.NaN, y: Number.NaN, z: Number.NaN };
  let unit = Number.NaN;
  let feed = Number.NaN;
  let motion = '';
  const seen = new Set<string>();
  const events: Event[] = [];
  let ended = false;
  for (const line of text.split('\n')) {
    const words = wordsOf(line);
    if (words === undefined) return `unreadable: ${line}`;
    if (words.length === 0) continue;
    if (ended) return 'something after the end';
    const get = (letter: string): number | undefined => words.find(([l]) => l === letter)?.[1];
    const f = get('F');
    if (f !== undefined) feed = f * unit;
    const s = get('S');
    if (s !== undefined) events.push(`S ${s}`);
    for (const [letter, value] of words) {
      const code = `${letter}${value}`;
      if (letter === 'M' && !['M0', 'M2', 'M3', 'M5', 'M30'].includes(code)) return `unknown ${code}`;
      if (letter === 'G' && !['G0', 'G1', 'G4', 'G17', 'G20', 'G21', 'G40', 'G54', 'G80', 'G90', 'G94'].includes(code))
        return `unknown ${code}`;
      if (!'GMXYZFSP'.includes(letter)) return `unknown ${code}`;
    }
    const has = (code: string): boolean => words.some(([l, v]) => `${l}${v}` === code);
    if (has('M3')) events.push('on');
    if (has('M5')) events.push('off');
    if (has('G4')) events.push(`dwell ${get('P')}`);
    for (const mode of ['G17', 'G90', 'G94']) if (has(mode)) seen.add(mode);
    if (has('G20')) unit = 25.4;
    if (has('G21')) unit = 1;
    if (has('G0')) motion = 'G0';
    if (has('G1')) motion = 'G1';
    if (has('G80')) motion = '';
    if (['X', 'Y', 'Z'].some((axis) => get(axis) !== undefined)) {
      if (motion === '' || seen.size < 3 || Number.isNaN(unit)) return 'a move before the modes';
      const to = {
        x: (get('X') ?? at.x / unit) * unit,
        y: (get('Y') ?? at.y / unit) * unit,
        z: (get('Z') ?? at.z / unit) * unit,
      };
      events.push({ rapid: motion === 'G0', from: { ...at }, to: { ...to }, feed });
      Object.assign(at, to);
    }
    if (has('M0')) events.push('stop');
    if (has('M2') || has('M30')) ended = true;
  }
  if (!ended) return 'no end';
  return { events, step: unit === 25.4 ? 0.00254 : 0.001 };
}

const isLeg = (event: Event): event is Leg => typeof event !== 'string';

/** Another text that was run before with its own cutter; the wood may stand `higher` than it left it. */
export interface DenseBefore {
  readonly text: string;
  readonly radius: number;
  readonly higher: number;
}

/** The heights over the field after each leg; `tell` hears what each leg took at most. `start` are the heights before, 0 where there are none. */
function cutField(
  given: DenseCase,
  legs: readonly Leg[],
  tell: (leg: Leg, bite: number) => void,
  start?: readonly number[],
): readonly Place[] {
  const nx = Math.floor(given.length / MESH);
  const ny = Math.floor(given.width / MESH);
  const px = (i: number): number => (i + 0.5) * (given.length / nx);
  const py = (j: number): number => -given.width / 2 + (j + 0.5) * (given.width / ny);
  const field = start === undefined ? new Float64Array(nx * ny) : Float64Array.from(start);
  // Outside of bent walls nothing is cut, and nothing asked.
  if (given.corners !== undefined)
    for (let k = 0; k < field.length; k++)
      if (inWalls(given, px(Math.floor(k / ny)), py(k % ny)) < given.wall + 0.02) field[k] = Number.NEGATIVE_INFINITY;
  // Between two stops of a walk the rim of the cutter reaches out a little further than at either.
  const r = given.radius + WALK ** 2 / (4 * given.radius);
  for (const leg of legs) {
    if (Math.min(leg.from.z, leg.to.z) >= 0) continue;
    const before = field.slice();
    const way = Math.hypot(leg.to.x - leg.from.x, leg.to.y - leg.from.y);
    const n = Math.max(1, Math.ceil(way / WALK));
    for (let k = 0; k <= n; k++) {
      const t = k / n;
      const c = { x: leg.from.x + t * (leg.to.x - leg.from.x), y: leg.from.y + t * (leg.to.y - leg.from.y) };
      const z = way === 0 ? Math.min(leg.from.z, leg.to.z) : leg.from.z + t * (leg.to.z - leg.from.z);
      if (z >= 0) continue;
      const i0 = Math.max(0, Math.floor((c.x - r) / (given.length / nx)) - 1);
      const i1 = Math.min(nx - 1, Math.ceil((c.x + r) / (given.length / nx)));
      for (let i = i0; i <= i1; i++) {
        const dx = px(i) - c.x;
        const reach = Math.sqrt(Math.max(0, r * r - dx * dx));
        if (Math.abs(dx) > r) continue;
        const j0 = Math.max(0, Math.ceil((c.y - reach + given.width / 2) / (given.width / ny) - 0.5));
        const j1 = Math.min(ny - 1, Math.floor((c.y + reach + given.width / 2) / (given.width / ny) - 0.5));
        for (let j = j0; j <= j1; j++) if (z < (field[i * ny + j] as number)) field[i * ny + j] = z;
      }
    }
    let bite = 0;
    field.forEach((z, index) => {
      bite = Math.max(bite, (before[index] as number) - z);
    });
    tell(leg, bite);
  }
  return Array.from(field, (z, index) => ({ x: px(Math.floor(index / ny)), y: py(index % ny), z }));
}

/** Every rule that the text breaks beyond doubt; empty where it keeps them all as far as this judge can see. */
export function denseJudge(text: string, given: DenseCase, before?: DenseBefore): string[] {
  const seen = run(text);
  if (typeof seen === 'string') return [seen];
  const { events, step } = seen;
  const broken: string[] = [];
  const clear = given.pocketDepth + given.above;
  const floor = (x: number, y: number): number => -(given.d0 + given.dx * x + given.dy * y);
  const lean = Math.hypot(given.dx, given.dy);
  const low = (z: number): boolean => z < clear - 1e-5;

  // What turns, and when.
  let state = 'off';
  let speed = 0;
  let z = Number.POSITIVE_INFINITY;
  for (const event of events) {
    if (isLeg(event)) {
      z = event.to.z;
      if (low(z) && state !== 'ready') broken.push(`below the clear height while ${state}`);
      if (low(z) && Math.abs(speed - given.speed) > 0.1 * given.speed + 1e-6) broken.push(`cuts at S${speed}`);
      continue;
    }
    if (low(z)) broken.push(`${event} below the clear height`);
    const [what, value] = event.split(' ');
    if (what === 'S') speed = Number(value);
    if (what === 'off') state = 'off';
    if (what === 'on' && state === 'off') state = 'cold';
    if (what === 'dwell' && state === 'cold' && Number(value) >= given.warmUp - 1e-6) state = 'warm';
    if (what === 'stop' && state === 'warm') state = 'ready';
  }
  if (state !== 'off') broken.push('turns at the end');
  if (low(z)) broken.push('ends low');

  const legs = events.filter(isLeg);
  const first = legs[0];
  if (first === undefined || !Number.isNaN(first.to.x) || !Number.isNaN(first.to.y) || Number.isNaN(first.to.z))
    broken.push('does not begin with Z alone');
  for (const { rapid, from, to, feed } of legs) {
    const below = low(from.z) || low(to.z);
    if (rapid && below) broken.push(`a rapid at ${Math.min(from.z, to.z)}`);
    if (!rapid && !(feed > 0)) broken.push('no feed');
    if (!below) continue;
    const way = Math.hypot(to.x - from.x, to.y - from.y);
    const fall = from.z - to.z;
    if (!rapid && fall > way / 10 + step + 1e-5 && feed > given.plunge + step + 1e-5) broken.push(`falls at ${feed}`);
    if (!rapid && fall <= way / 10 && (feed > given.cut + step + 1e-5 || feed < given.cut / 4 - step - 1e-5))
      broken.push(`cuts at ${feed}`);
    const n = Math.max(1, Math.ceil(way / 0.25));
    for (let k = 0; k <= n; k++) {
      const t = k / n;
      const c = { x: from.x + t * (to.x - from.x), y: from.y + t * (to.y - from.y), z: from.z + t * (to.z - from.z) };
      if (Number.isNaN(c.x + c.y + c.z)) {
        broken.push('low at a place never given');
        break;
      }
      const side = inWalls(given, c.x, c.y);
      if (side < given.radius + given.wall - 1e-5) broken.push(`${side - given.radius} from a wall`);
      if (c.x - given.radius < -given.clearBefore - 1e-5) broken.push('out of the free space');
      let highest = Number.NEGATIVE_INFINITY;
      for (let a = 0; a < 24; a++) {
        const angle = (a * Math.PI) / 12;
        highest = Math.max(highest, floor(c.x + given.radius * Math.cos(angle), c.y + given.radius * Math.sin(angle)));
      }
      if (highest - c.z > step + 1e-5) broken.push(`${highest - c.z} below the floor`);
    }
  }
  const ends = given.corners ?? [0, given.length].flatMap((x) => [-1, 1].map((s) => ({ x, y: (s * given.width) / 2 })));
  const deepest = Math.max(...ends.map((end) => -floor(end.x, end.y)));
  if (given.pocketDepth + deepest + 1 > given.cutterLength + 1e-6) broken.push('the cutter is too short');

  if (broken.length > 0) return broken;
  // Falls are added up as long as each of them takes wood.
  let fallen = 0;
  const cutBefore = before === undefined ? undefined : run(before.text);
  if (typeof cutBefore === 'string') return [`before: ${cutBefore}`];
  const left =
    before === undefined || cutBefore === undefined
      ? undefined
      : cutField({ ...given, radius: before.radius }, cutBefore.events.filter(isLeg), () => {}).map(({ z: stands }) => stands);
  const tell = ({ from, to }: Leg, bite: number): void => {
    if (bite > given.passDepth + step + 0.01) broken.push(`takes ${bite}`);
    const steep = from.z - to.z - Math.hypot(to.x - from.x, to.y - from.y) / 20;
    if (bite > step + 0.005 && steep > step + 1e-5) broken.push(`takes ${bite} falling`);
    fallen = bite > 0.0005 && steep > 0 ? fallen + steep : 0;
    if (fallen > 3 * step) broken.push(`takes wood while falling ${fallen} in one run`);
  };
  const raised = left?.map((stands) => Math.min(0, stands + (before?.higher ?? 0)));
  const taken = cutField(given, legs, tell, raised);
  const field = left === undefined ? taken : cutField(given, legs, () => {}, left);
  const e = given.radius + given.wall;
  const inset = given.wall + 0.05;
  // A walk stops up to half a step short of the lowest place.
  const slack = lean * WALK + 0.0002;
  for (const { x, y, z: stands } of field) {
    if (inWalls(given, x, y) < inset) continue;
    if (stands <= floor(x, y) + given.mayStay + step + slack) continue;
    let reach = Number.POSITIVE_INFINITY;
    for (let r = 0; r <= 1; r += 0.125)
      for (let a = 0; a < 48; a++) {
        const c = {
          x: x + r * given.radius * Math.cos((a * Math.PI) / 24),
          y: y + r * given.radius * Math.sin((a * Math.PI) / 24),
        };
        if (c.x < given.radius - given.clearBefore || inWalls(given, c.x, c.y) < e) continue;
        reach = Math.min(reach, floor(c.x, c.y) + given.radius * lean);
      }
    if (stands > reach + given.mayStay + step + slack) broken.push(`${stands - floor(x, y)} stays at ${x} ${y}`);
  }
  return broken;
}
