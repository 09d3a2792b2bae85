import { describe, expect, it } from 'vitest';
import { parseStringPromise } from 'xml2js';
import { guideSvg } from '../../src/guide/guide.ts';
import type { GuideTask } from '../../src/guide/task.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { guideTask } from '../support/guideTasks.ts';
import { longestRun, rasterOf } from '../support/raster.ts';

type Attributes = Readonly<Record<string, string>>;

interface Read {
  readonly $: Attributes;
  readonly circle: readonly { readonly $: Attributes }[];
  readonly path: readonly { readonly $: Attributes }[];
  readonly line: readonly { readonly $: Attributes }[];
  readonly text: readonly { readonly _: string; readonly $: Attributes }[];
}

function first(task: GuideTask): string {
  const pages = guideSvg(task);
  if (!pages.ok) throw new Error(pages.findings[0]?.message);
  return pages.value[0] as string;
}

async function read(svg: string): Promise<Read> {
  return ((await parseStringPromise(svg)) as { svg: Read }).svg;
}

const number = (attributes: Attributes, name: string): number => {
  const value = Number(attributes[name]);
  if (!Number.isFinite(value)) throw new Error(`${name} is ${attributes[name]}`);
  return value;
};

function byId(svg: Read, id: string): Attributes {
  const found = [...svg.path, ...svg.line].filter(({ $ }) => $.id === id);
  expect(found).toHaveLength(1);
  return (found[0] as { $: Attributes }).$;
}

const PAPERS = { A4: [210, 297], Letter: [215.9, 279.4], A3: [297, 420] } as const;

describe('the guide', () => {
  it.each(Object.entries(PAPERS))('is drawn in millimetres on %s', async (paper, [w, h]) => {
    const svg = await read(first(guideTask({}, { sheet: { paper: paper as 'A4', measuredX: 100, measuredY: 100 } })));
    expect(svg.$).toMatchObject({ width: `${w}mm`, height: `${h}mm`, viewBox: `0 0 ${w} ${h}` });
  });

  it.each([
    [100, 100],
    [98.5, 101.25],
    [80, 120],
  ])(
    'draws its check bars 100 * 100 / measured long (%d, %d), and the printer brings them to 100 mm',
    async (measuredX, measuredY) => {
      const text = first(guideTask({}, { sheet: { paper: 'A4', measuredX, measuredY } }));
      const svg = await read(text);
      const x = byId(svg, 'check-bar-x');
      const y = byId(svg, 'check-bar-y');
      expect(number(x, 'x2') - number(x, 'x1')).toBeCloseTo(10000 / measuredX, 3);
      expect(number(x, 'y2')).toBe(number(x, 'y1'));
      expect(Math.abs(number(y, 'y2') - number(y, 'y1'))).toBeCloseTo(10000 / measuredY, 3);
      expect(number(y, 'x2')).toBe(number(y, 'x1'));
      // A second witness: the bars in pixels. Each end carries half a tick of 0.3 mm; one pixel is 0.085 mm.
      const raster = rasterOf(text, 300);
      const px = (mm: number): number => Math.round((mm * 300) / 25.4);
      const along = longestRun(raster.width, (i) => raster.dark(i, px(number(x, 'y1'))));
      const down = longestRun(raster.height, (i) => raster.dark(px(number(y, 'x1')), i));
      expect(Math.abs((along * 25.4) / 300 - 0.3 - 10000 / measuredX)).toBeLessThan(0.2);
      expect(Math.abs((down * 25.4) / 300 - 0.3 - 10000 / measuredY)).toBeLessThan(0.2);
    },
  );

  it.each(['right', 'left'] as const)('shows a %s-handed pocket from above, not mirrored, with the sides named', async (hand) => {
    const task = guideTask({ pitch: 0.01, roll: 0.006 }, { hand });
    const svg = await read(first(task));
    const [a, b, c] = [svg.circle[0], svg.circle[1], svg.circle[svg.circle.length - 1]].map(
      (each) => (each as { $: Attributes }).$,
    ) as [Attributes, Attributes, Attributes];
    const step = (p: Attributes, q: Attributes, name: string): number => number(q, name) - number(p, name);
    const page = step(a, b, 'cx') * -step(a, c, 'cy') - -step(a, b, 'cy') * step(a, c, 'cx');
    const body = step(a, b, 'data-x') * step(a, c, 'data-y') - step(a, b, 'data-y') * step(a, c, 'data-x');
    // With the page's y turned up, both triangles go round the same way.
    expect(page).toBeCloseTo(body, 1);
    expect(Math.abs(body)).toBeGreaterThan(10);
    const place = (name: string): Attributes => {
      const found = svg.text.filter(({ _ }) => _ === name);
      expect(found).toHaveLength(1);
      return (found[0] as { $: Attributes }).$;
    };
    expect(number(place('MOUTH'), 'y')).toBeLessThan(number(place('REAR'), 'y'));
    const plus = svg.circle.filter(({ $ }) => number($, 'data-y') > 10);
    expect(plus.length).toBeGreaterThan(2);
    const trebleIsRight = number(place('TREBLE'), 'x') > number(place('BASS'), 'x');
    const plusIsRight = plus.every(({ $ }) => number($, 'cx') > 105);
    // +y is the treble side of a right-handed instrument and the bass side of a left-handed one.
    expect(trebleIsRight === plusIsRight).toBe(hand === 'right');
  });

  it('gives at least 12 stations with their places and depths', async () => {
    const task = guideTask({ pitch: 0.01, roll: -0.004, skim: 0.15 });
    const { circle } = await read(first(task));
    expect(circle.length).toBeGreaterThanOrEqual(12);
    for (const { $ } of circle) {
      expect(number($, 'data-depth')).toBeCloseTo(depthAt(task.plane, number($, 'data-x'), number($, 'data-y')), 8);
    }
  });

  it('draws the outline true to size in absolute moves, corrected for the printer', async () => {
    const task = guideTask({ widthAtMouth: 58.2 }, { sheet: { paper: 'A4', measuredX: 98, measuredY: 102 } });
    const d = byId(await read(first(task)), 'floor-outline').d as string;
    expect(d).toMatch(/^M [\d. ]+( [LA] [\d. ]+)+ Z$/);
    const points = [...d.matchAll(/[MLA] ([\d. ]+)/g)].map(
      ([, numbers]) => (numbers as string).trim().split(' ').map(Number).slice(-2) as [number, number],
    );
    const xs = points.map(([x]) => x);
    const ys = points.map(([, y]) => y);
    expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo((58.2 * 100) / 98, 3);
    expect(Math.max(...ys) - Math.min(...ys)).toBeCloseTo((71.5 * 100) / 102, 3);
    const arc = /A ([\d.]+) ([\d.]+) 0 0 0 /.exec(d) as RegExpExecArray;
    expect(Number(arc[1])).toBeCloseTo(500 / 98, 3);
    expect(Number(arc[2])).toBeCloseTo(500 / 102, 3);
  });

  it('draws the rounded corner on the inside of the corner', async () => {
    const text = first(guideTask({ pitch: 0, skim: 0.4, cornerRadius: 15, widthAtMouth: 58.2 }));
    const svg = await read(text);
    const station = (svg.circle[0] as { $: Attributes }).$;
    const left = number(station, 'cx') - number(station, 'data-y') - 58.2 / 2;
    const top = number(station, 'cy') - number(station, 'data-x');
    const raster = rasterOf(text, 300);
    const px = (mm: number): number => Math.round((mm * 300) / 25.4);
    // The middle of the rear corner's arc, 15 (1 - sqrt(1/2)) mm in from both walls.
    const inwards = 15 * (1 - Math.SQRT1_2);
    expect(raster.dark(px(left + inwards), px(top + 71.5 - inwards))).toBe(true);
    expect(raster.dark(px(left), px(top + 71.5))).toBe(false);
  });

  it('says what to take off and keeps a title harmless', async () => {
    const svg = await read(first(guideTask({}, { title: `<script>"a" & \u0007\u202eb</script> ${'long '.repeat(40)}` })));
    const words = svg.text.map(({ _ }) => _).join(' ');
    expect(words).toContain('<script>"a" & b</script> long');
    expect(words).toContain('…');
    expect(words).toContain('Deepest at the mouth: 0.78 mm (0.031 in)');
    expect(words).toContain('pitch 0.62 degrees, the nut goes down');
    expect(words).toContain('job 0123456789ab');
    expect(words).toContain('22.82 mm');
  });

  it('moves its words to a second sheet before it refuses, and then names the paper that would do', () => {
    const long = guideTask({ length: 185, cornerRadius: 10 });
    const two = guideSvg(long, 'map');
    expect(two.ok && two.value.length).toBe(2);
    const tooLong = guideSvg(guideTask({ length: 200 }, { sheet: { paper: 'Letter', measuredX: 100, measuredY: 90 } }));
    expect(tooLong).toMatchObject({
      ok: false,
      findings: [{ code: 'sheet-too-small', exit: 3, remedy: expect.stringContaining('A3') }],
    });
  });
});
