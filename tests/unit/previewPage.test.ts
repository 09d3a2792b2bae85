import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readShop } from '../../src/job/readShop.ts';
import { flatten, measuredOutline } from '../../src/kernel/outline.ts';
import { depthAt } from '../../src/kernel/plane.ts';
import { makeAll } from '../../src/pipeline.ts';
import { bandPolygon, bandsOf, chord, depthsOver } from '../../src/preview/bands.ts';
import { bare, clock, long, niceAbove } from '../../src/preview/figures.ts';
import { escaped, html, scriptData } from '../../src/preview/html.ts';
import { unpackText } from '../../src/preview/packed.ts';
import { ruleRows } from '../../src/preview/rules.ts';
import { pageOf } from '../../src/previewJob.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { solveText } from '../../src/solveJob.ts';
import { SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';
import { IN_INCHES, PLAINLY, slantedLanes, written } from '../support/longPrograms.ts';
import { plainProgram, textOf, workOf } from './proofProgram.ts';

const JOB = readFileSync(SAMPLE_JOB, 'utf8');
const SHOP = readFileSync(SAMPLE_SHOP, 'utf8');

function artifacts(job = JOB): ReadonlyMap<string, string> {
  const all = makeAll({ text: job, file: 'job' }, { text: SHOP, file: 'shop' });
  if (!all.ok) throw new Error(all.findings.map(({ message }) => message).join('; '));
  return new Map(all.value.artifacts.map(({ name, text }) => [name, text]));
}

/** Signed area of a polygon by the shoelace rule. */
function area(points: readonly { x: number; y: number }[]): number {
  return points.reduce((sum, b, i) => {
    const a = points.at(i - 1) ?? b;
    return sum + (a.x * b.y - b.x * a.y) / 2;
  }, 0);
}

const sceneIn = (text: string) => JSON.parse(/<script type="application\/json" id="scene">(.*?)<\/script>/.exec(text)?.[1] ?? '');

describe('the page as text', () => {
  const made = artifacts();
  const page = made.get('preview.html') ?? '';

  it('is whole in itself, small, and the same each time', () => {
    expect(page.length).toBeLessThan(600_000);
    expect(page.length).toBeGreaterThan(20_000);
    expect(artifacts().get('preview.html')).toBe(page);
    expect(page).toMatch(/^<!doctype html>\n/);
    expect(page).not.toMatch(/\b(?:src|srcset|action|formaction|data|poster)\s*=\s*"/);
    expect([...page.matchAll(/\bhref="([^"]*)"/g)].map((match) => match[1]?.[0])).toEqual(Array(5).fill('#'));
    expect(page).not.toMatch(/@import|url\((?!#)/);
    expect(page).not.toMatch(/\sstyle="/);
  });

  it('allows its own script and style by their hashes and nothing else', () => {
    const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(page)?.[1] ?? '';
    expect(policy).toMatch(
      /^default-src &#39;none&#39;; script-src &#39;sha256-[A-Za-z0-9+/]{43}=&#39;; style-src &#39;sha256-[A-Za-z0-9+/]{43}=&#39;; base-uri &#39;none&#39;; form-action &#39;none&#39;$/,
    );
  });

  it("carries the program's text to the letter", () => {
    const data = sceneIn(page);
    expect(data.programs[0].text).toBe(made.get('floor.nc'));
    expect(data.strings.length).toBe(6);
    expect(data.strings[0].gaps.thenLowest.length).toBe(20);
  });

  it('stays small with a program of 200 000 moves in all three axes, which comes out of it to the letter', () => {
    const text = written(slantedLanes(200_000), IN_INCHES);
    const solved = solveText({ text: JOB, file: 'job' });
    const shop = readShop(SHOP, 'shop');
    if (!solved.ok || !shop.ok) throw new Error('the sample is not sound');
    // With the many faults of a program that was written for something else.
    const verdict = proveProgram(written(slantedLanes(800), PLAINLY), workOf(), 'floor');
    expect(verdict.faults.length).toBeGreaterThan(60);
    const shown = { name: 'theirs.nc', text, kind: 'floor', verdict, shop: shop.value } as const;
    const long = pageOf(solved.value, undefined, [shown], shop.value);
    expect(long.length).toBeLessThan(600_000);
    expect(unpackText(sceneIn(long).programs[0].text)).toBe(text);
  });

  it('has the stations of the printed guide', () => {
    const data = sceneIn(page);
    const printed = [...(made.get('guide.svg') ?? '').matchAll(/<circle\b[^>]*\sdata-depth="[^>]*>/g)].map(([tag]) => {
      const value = (name: string): number => Number(new RegExp(`\\sdata-${name}="(-?[0-9.]+)"`).exec(tag)?.[1]);
      return { x: value('x'), y: value('y'), depth: value('depth') };
    });
    expect(printed.length).toBeGreaterThanOrEqual(12);
    expect(data.stations.length).toBe(printed.length);
    printed.forEach(({ x, y, depth }, i) => {
      expect(data.stations[i].x).toBeCloseTo(x, 3);
      expect(data.stations[i].y).toBeCloseTo(y, 3);
      expect(data.stations[i].depth).toBeCloseTo(depth, 3);
      expect(depth).toBeCloseTo(depthAt(data.plane, x, y), 4);
    });
  });

  it('says cautions first and all of them', () => {
    const warnings = JSON.parse(made.get('report.json') ?? '').warnings as { message: string }[];
    expect(warnings.length).toBeGreaterThan(0);
    for (const { message } of warnings) expect(page).toContain(escaped(message));
    expect(page).toContain('Read SAFETY.md first.');
  });
});

describe('escaping', () => {
  const EVIL = `</script><!--<script>&"'\u202e\u0000`;
  it('leaves no sign that ends, opens or hides anything', () => {
    expect(escaped(EVIL)).toBe('&lt;/script&gt;&lt;!--&lt;script&gt;&amp;&quot;&#39;\u25a1\u25a1');
    expect(html`<p title="${EVIL}">${EVIL}</p>`.markup).toBe(`<p title="${escaped(EVIL)}">${escaped(EVIL)}</p>`);
    expect(html`${[html`<i>${'<'}</i>`, html`<b></b>`]}`.markup).toBe('<i>&lt;</i><b></b>');
  });
  it('of data keeps the data', () => {
    const data = { text: `${EVIL}\u2028\u2029` };
    expect(scriptData(data).markup).not.toMatch(/[<\u2028\u2029]/);
    expect(JSON.parse(scriptData(data).markup)).toEqual(data);
  });
});

describe('figures', () => {
  it('are rounded as the unit asks, without a minus zero', () => {
    expect([bare(-0.001, 'mm'), bare(25.4, 'in'), long(0.8114, 'mm'), clock(59.6), clock(-1)]).toEqual([
      '0.00',
      '1.000',
      '0.81 mm',
      '1:00',
      '0:00',
    ]);
    expect([niceAbove(0.0013), niceAbove(0.2), niceAbove(3), niceAbove(7)]).toEqual([0.002, 0.2, 5, 10]);
  });
});

describe('the bands of a floor', () => {
  const outline = measuredOutline({ length: 70, width: 58, widthAtMouth: 56, cornerRadius: 6 });
  const polygon = flatten(outline, 0.01);
  const FLOORS = [
    { hinge: { x: 70, y: 0 }, skim: 0, gx: -0.011, gy: 0 },
    { hinge: { x: 0, y: 0 }, skim: 0.4, gx: 0.004, gy: -0.013 },
    { hinge: { x: 0, y: 0 }, skim: 0.7, gx: 0, gy: 0 },
  ];
  it.each(FLOORS)('cover it once and wholly: %j', (plane) => {
    const { least, deepest } = depthsOver(polygon, plane);
    for (const units of ['mm', 'in'] as const) {
      const bands = bandsOf(least, deepest, units);
      expect(bands.length).toBeLessThanOrEqual(10);
      const parts = bands.map((band) => bandPolygon(polygon, plane, band));
      expect(parts.reduce((sum, part) => sum + area(part), 0)).toBeCloseTo(area(polygon), 3);
      parts.forEach((part, i) => {
        for (const p of part) {
          expect(depthAt(plane, p.x, p.y)).toBeGreaterThan((bands[i]?.from ?? 0) - 1e-6);
          expect(depthAt(plane, p.x, p.y)).toBeLessThan((bands[i]?.to ?? 0) + 1e-6);
        }
      });
    }
  });
  it('are parted by lines of one depth', () => {
    const [plane] = FLOORS;
    if (plane === undefined) throw new Error('no floor');
    const ends = chord(polygon, (p) => depthAt(plane, p.x, p.y) - 0.3);
    expect(ends?.map((p) => depthAt(plane, p.x, p.y))).toEqual([expect.closeTo(0.3, 9), expect.closeTo(0.3, 9)]);
    expect(chord(polygon, (p) => depthAt(plane, p.x, p.y) - 3)).toBeUndefined();
  });
});

describe('the verdict, rule by rule', () => {
  const work = workOf();
  const rows = (text: string, kind: 'floor' | 'air' = 'floor') =>
    ruleRows({ name: 'x', text, kind, verdict: proveProgram(text, work, kind), shop: work.shop }, 'mm');
  it('holds throughout for a proved program, with figures', () => {
    const all = rows(textOf(plainProgram()));
    expect(all.map(({ holds }) => holds)).toEqual(Array(12).fill('holds'));
    expect(all.filter(({ figure }) => figure === '').map(({ rule }) => rule)).toEqual([]);
    const figure = (rule: string): string => all.find((row) => row.rule === rule)?.figure ?? '';
    const { load } = proveProgram(textOf(plainProgram()), work, 'floor');
    expect(figure('spindle')).toContain(`S ${load?.speed.most.toFixed(0)}; asked ${work.shop.spindle.speed.toFixed(0)}`);
    expect(figure('feed')).toContain(`cuts at ${load?.feed.most.toFixed(0)} mm/min`);
  });
  it('says which rule is broken and where', () => {
    const text = textOf(plainProgram().slice(0, -1));
    const broken = rows(text).filter(({ holds }) => holds !== 'holds');
    expect(broken.map(({ rule, holds }) => [rule, holds])).toEqual([['end', 'broken']]);
    expect(broken[0]?.lines.length).toBe(1);
  });
  it('judges nothing but the words of a text that cannot be read, and asks less of one for the air', () => {
    const unread = rows('G2 X1\n');
    expect(unread.filter(({ holds }) => holds !== 'not judged').map(({ rule, holds }) => [rule, holds])).toEqual([
      ['words', 'broken'],
    ]);
    expect(rows('G21\n', 'air').filter(({ holds }) => holds === 'not asked').length).toBe(6);
  });
});
