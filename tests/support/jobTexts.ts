import fc from 'fast-check';
import { fretPlace } from '../../src/instrument/neck.ts';
import type { Unit } from '../../src/kernel/units.ts';

/** A length in mm with a ± of its own: its text depends on the file's unit. */
export interface Length {
  readonly mm: number;
  readonly plusMinus?: number;
}

export type Tree = Length | number | string | readonly Tree[] | { readonly [key: string]: Tree | undefined };

const isLength = (tree: Tree): tree is Length => typeof tree === 'object' && 'mm' in tree;

/** The tree as a job or shop file in `unit`: JSON, which is YAML. Bare numbers are no lengths and stay. */
export function fileText(tree: Tree, unit: Unit): string {
  const per = unit === 'mm' ? 1 : 25.4;
  const plain = (node: Tree): unknown => {
    if (typeof node !== 'object') return node;
    if (isLength(node)) {
      const number = String(node.mm / per);
      return node.plusMinus === undefined ? Number(number) : `${number} ± ${node.plusMinus / per}`;
    }
    if (Array.isArray(node)) return node.map(plain);
    const entries = Object.entries(node).flatMap(([key, child]) => (child === undefined ? [] : [[key, plain(child as Tree)]]));
    return Object.fromEntries(entries) as unknown;
  };
  return `${JSON.stringify({ ...(plain(tree) as object), units: unit }, null, 1)}\n`;
}

/** Hundredths of a millimetre, as calipers and feelers give them: written numbers have few digits. */
const len = (min: number, max: number): fc.Arbitrary<Length> =>
  fc.integer({ min: Math.round(min * 100), max: Math.round(max * 100) }).map((n) => ({ mm: n / 100 }));
const part = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });
const maybe = <T>(of: fc.Arbitrary<T>): fc.Arbitrary<T | undefined> => fc.option(of, { nil: undefined });

/** The first kind five times in six. */
const usually = <A, B>(often: fc.Arbitrary<A>, seldom: fc.Arbitrary<B>): fc.Arbitrary<A | B> =>
  fc.oneof({ weight: 5, arbitrary: often }, { weight: 1, arbitrary: seldom });

export interface JobTree {
  readonly [key: string]: Tree | undefined;
}

/** Invented sound jobs: every one passes the schema and the cross-checks; whether it can be made is for the program to say. */
export function anyJobTree(): fc.Arbitrary<JobTree> {
  return fc
    .record({
      hand: fc.constantFrom('right', 'left'),
      scale: len(580, 880),
      frets: fc.integer({ min: 18, max: 25 }),
      count: fc.integer({ min: 4, max: 9 }),
      spreads: fc.tuple(len(30, 48), len(46, 70)),
      mouth: part(0.76, 0.94),
      seatToCrown: len(17, 30),
      radius: maybe(len(180, 500)),
      relief: maybe(len(0, 0.3)),
      fallAway: maybe(len(0.05, 0.3)),
      pocket: fc.record({ length: len(45, 100), width: len(42, 75), taper: len(-3, 3), round: maybe(len(0, 9)) }),
      depths: fc.record({ depth: len(13, 22), under: len(13, 35), leastFloor: maybe(len(6, 14)) }),
      clearBefore: usually(len(18, 40), maybe(len(6, 18))),
      gaps: fc.record({ bass: len(0.4, 2), treble: len(0.4, 2), nut: len(0.3, 0.9) }),
      widthBound: fc.constantFrom(0.02, 0.05, 0.1, 0.1, 0.3),
      target: fc.record({
        floor: fc.constantFrom('pitch', 'pitch-and-roll'),
        skim: fc.constantFrom(0, 0, 0.1, 0.4).map((mm) => ({ mm })),
      }),
      travel: len(3, 10),
      compensated: fc.boolean(),
      screws: fc.boolean(),
    })
    .map((n): JobTree => {
      const last = fretPlace(n.scale.mm, n.frets);
      const { length, width } = n.pocket;
      const hole = (x: number, y: number) => ({ x: { mm: length.mm * x }, y: { mm: (width.mm * y) / 2 } });
      return {
        job: 1,
        hand: n.hand,
        scale: { length: n.scale, frets: n.frets },
        strings: {
          count: n.count,
          spreadAtNut: n.spreads[0],
          spreadAtSaddle: n.spreads[1],
          compensation: n.compensated ? Array.from({ length: n.count }, (_, i) => ({ mm: 0.8 + ((i * 7) % 5) / 4 })) : undefined,
        },
        neck: {
          nutToMouth: { mm: Math.round(last * n.mouth * 100) / 100 },
          seatToCrown: n.seatToCrown,
          nutGap: n.gaps.nut,
          radius: n.radius,
          relief: n.relief,
          fallAway: n.fallAway === undefined ? undefined : { fromFret: 15, drop: n.fallAway },
        },
        pocket: {
          length,
          width: { ...width, plusMinus: n.widthBound },
          widthAtMouth: { mm: width.mm + n.pocket.taper.mm },
          cornerRadius: n.pocket.round,
          depth: n.depths.depth,
          body: { mm: n.depths.depth.mm + n.depths.under.mm },
          leastFloor: n.depths.leastFloor,
          clearBefore: n.clearBefore,
          screws: n.screws ? [hole(0.2, -0.6), hole(0.2, 0.6), hole(0.8, -0.6), hole(0.8, 0.6)] : undefined,
        },
        screw: n.screws ? { length: { mm: 38 } } : undefined,
        bridge: { travel: n.travel },
        asFound: { lastFretGap: { bass: n.gaps.bass, treble: n.gaps.treble } },
        target: n.target,
      };
    });
}

/** Invented shop files: cutters from thin to too wide, most sections left out now and then. */
export function anyShopTree(): fc.Arbitrary<JobTree> {
  return fc
    .record({
      cutter: fc.record({ diameter: usually(len(3, 12), len(12, 30)), length: usually(len(28, 45), len(15, 28)) }),
      feed: maybe(fc.record({ cut: len(200, 3000), share: part(0.1, 0.9) })),
      spindle: maybe(fc.record({ speed: fc.integer({ min: 6000, max: 24000 }), warmUp: fc.integer({ min: 0, max: 20 }) })),
      pass: maybe(fc.record({ depth: len(0.1, 1.5), lane: part(0.1, 1) })),
      clearance: maybe(fc.record({ above: len(2, 20), wall: usually(len(0.25, 0.6), len(0, 0.25)), beyondMouth: len(0.5, 6) })),
      zeroing: maybe(len(0, 0.1)),
      leave: maybe(len(0, 0.2)),
      // Of the first cutter's diameter; long enough for most pockets, and deep enough for most zeros.
      rim: maybe(fc.record({ share: part(0.2, 0.95), length: usually(len(30, 45), len(15, 28)), depth: maybe(len(0.15, 0.6)) })),
      units: fc.constantFrom('mm', 'in'),
      look: fc.constantFrom(undefined, 'first', 'every', 'never'),
      sheet: maybe(fc.record({ paper: fc.constantFrom('A4', 'Letter', 'A3'), measuredX: len(98, 102) })),
    })
    .map(
      ({ units, look, pass, rim, feed, ...more }): JobTree => ({
        ...more,
        shop: 1,
        feed: feed === undefined ? undefined : { cut: feed.cut, plunge: { mm: feed.cut.mm * feed.share } },
        rim:
          rim === undefined
            ? undefined
            : { diameter: { mm: more.cutter.diameter.mm * rim.share }, length: rim.length, depth: rim.depth },
        pass: pass === undefined ? undefined : { depth: pass.depth, width: { mm: more.cutter.diameter.mm * pass.lane } },
        program: { units, look },
      }),
    );
}
