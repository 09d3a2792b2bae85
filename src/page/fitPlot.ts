import { fitPlane } from '../instrument/equations.ts';
import { handSign, type Sides } from '../instrument/neck.ts';
import type { Reading } from '../kernel/measured.ts';
import type { Unit } from '../kernel/units.ts';
import { fromMm, toMm } from '../kernel/units.ts';
import { bare, long, niceAbove } from '../preview/figures.ts';
import { html, type Markup, NOTHING } from '../preview/html.ts';
import { tableOf } from '../preview/sheets.ts';
import type { Outcome } from '../report/outcome.ts';
import { edgeDepths } from '../solve/edge.ts';
import { gapAt } from '../solve/gaps.ts';
import { GAUGED } from '../solve/gauged.ts';
import type { Words } from './words.ts';

/** A fit as a point: depth at the middle of the deepest edge, gaps over the last fret as they would be with the saddles down (mm). */
export interface FitPoint {
  readonly depth: number;
  readonly gap: Sides;
}

export interface FitCurve {
  readonly points: readonly FitPoint[];
  /** What the geometry says of floors on the way from nothing to the depth wanted, and a little past it. */
  readonly line: readonly FitPoint[];
  /** Depth wanted at the middle of that edge. */
  readonly wanted: number;
}

const STEPS = 12;

/** What was read, as it was read: the solve's own values are already drawn towards all other readings. */
function readSides(reading: Reading | undefined): Sides {
  if (reading === undefined) return { bass: 0, treble: 0 };
  return 'kind' in reading
    ? { bass: reading.value, treble: reading.value }
    : { bass: reading.bass.value, treble: reading.treble.value };
}

export function fitCurve(outcome: Outcome): FitCurve | undefined {
  const { solution, job } = outcome;
  const { instrument, outline } = solution;
  const edge = outcome.fitting?.edge ?? (solution.pitch < 0 ? 'rear' : 'mouth');
  const hand = handSign(instrument.job);
  const last = instrument.crowns.frets;
  const outer = { bass: 0, treble: instrument.plans.length - 1 };
  const whole = edgeDepths(solution, edge);
  const wanted = (whole.bass + whole.treble) / 2;
  const gapOn = (depths: Sides, up: Sides): Sides | undefined => {
    const plane = fitPlane(outline, hand, edge, depths, job.target.skim);
    if (plane === null) return undefined;
    return {
      bass: gapAt(instrument, plane, outer.bass, last, up.bass),
      treble: gapAt(instrument, plane, outer.treble, last, up.treble),
    };
  };
  const points = job.fits.flatMap((fit): FitPoint[] => {
    const shim = fit.shim?.value ?? 0;
    const filed = readSides(fit.depth);
    const depths = { bass: filed.bass - shim, treble: filed.treble - shim };
    if (fit.lastFretGap === undefined) return [];
    const up = readSides(fit.raised);
    const read = readSides(fit.lastFretGap);
    const [raised, down] = [gapOn(depths, up), gapOn(depths, { bass: 0, treble: 0 })];
    if (raised === undefined || down === undefined) return [];
    const gap = { bass: read.bass - raised.bass + down.bass, treble: read.treble - raised.treble + down.treble };
    return [{ depth: (depths.bass + depths.treble) / 2, gap }];
  });
  const most = Math.max(wanted, ...points.map(({ depth }) => depth)) * 1.1;
  if (most <= 0) return undefined;
  const line = Array.from({ length: STEPS + 1 }, (_, i) => (most * i) / STEPS).flatMap((depth): FitPoint[] => {
    const part = wanted > 0 ? depth / wanted : 0;
    const depths = wanted > 0 ? { bass: whole.bass * part, treble: whole.treble * part } : { bass: depth, treble: depth };
    const gap = gapOn(depths, { bass: 0, treble: 0 });
    return gap === undefined ? [] : [{ depth, gap }];
  });
  return { points, line, wanted };
}

const SIZE = { width: 640, height: 340, left: 64, right: 26, top: 26, bottom: 46 };

function ticks(from: number, to: number, units: Unit): number[] {
  const step = toMm(niceAbove(fromMm((to - from) / 6, units)), units);
  const first = Math.ceil(from / step - 1e-9);
  return Array.from({ length: Math.floor(to / step + 1e-9) - first + 1 }, (_, i) => (first + i) * step);
}

/** Gap against depth: the fits as points, the prediction as lines, the depth wanted as a mark. */
export function fitPlot(outcome: Outcome, words: Words): Markup {
  const curve = fitCurve(outcome);
  if (curve === undefined) return NOTHING;
  const { units } = outcome.job;
  const { points, line, wanted } = curve;
  const gaps = [...points, ...line].flatMap(({ gap }) => [gap.bass, gap.treble]);
  const most = line.at(-1)?.depth ?? 1;
  const [low, high] = [Math.min(0, ...gaps), Math.max(...gaps, 0.1)];
  const X = (depth: number): number => SIZE.left + (depth / most) * (SIZE.width - SIZE.left - SIZE.right);
  const Y = (gap: number): number => SIZE.top + ((high - gap) / (high - low)) * (SIZE.height - SIZE.top - SIZE.bottom);
  const f = (value: number): string => value.toFixed(1);
  const path = (side: keyof Sides): string =>
    line.map(({ depth, gap }, i) => `${i === 0 ? 'M' : 'L'}${f(X(depth))} ${f(Y(gap[side]))}`).join('');
  const foot = SIZE.height - SIZE.bottom;
  const alongX = ticks(0, most, units).map(
    (depth) =>
      html`<path class="soft-line" d="M${f(X(depth))} ${SIZE.top}V${foot}"/><text x="${f(X(depth))}" y="${foot + 17}" text-anchor="middle">${bare(depth, units)}</text>`,
  );
  const alongY = ticks(low, high, units).map(
    (gap) =>
      html`<path class="soft-line" d="M${SIZE.left} ${f(Y(gap))}H${SIZE.width - SIZE.right}"/><text x="${SIZE.left - 8}" y="${f(Y(gap) + 4)}" text-anchor="end">${bare(gap, units)}</text>`,
  );
  const mark = html`<path class="mark" stroke-width="2" stroke-dasharray="14 4 3 4" d="M${f(X(wanted))} ${SIZE.top}V${foot}"/>`;
  const dots = points.map(
    ({ depth, gap }, i) =>
      html`<circle class="plot-bass" cx="${f(X(depth))}" cy="${f(Y(gap.bass))}" r="6"/><path class="plot-treble" d="M${f(X(depth) - 6)} ${f(Y(gap.treble) - 6)}l12 12m0 -12l-12 12"/><text x="${f(X(depth) + 9)}" y="${f(Y(gap.bass) - 8)}">${i + 1}</text>`,
  );
  const { plotKey } = words.fit;
  const sample = (inner: Markup, said: string): Markup =>
    html`<li><svg width="34" height="16" viewBox="0 0 34 16" aria-hidden="true">${inner}</svg><span>${said}</span></li>`;
  return html`<h3>${words.fit.plot}</h3><svg class="draw plot" viewBox="0 0 ${SIZE.width} ${SIZE.height}" role="img" aria-label="${words.fit.plotAlt}">
${alongX}${alongY}<path class="ink" stroke-width="1.5" d="M${SIZE.left} ${SIZE.top}V${foot}H${SIZE.width - SIZE.right}"/>
<path class="ink" stroke-width="2" d="${path('bass')}"/><path class="ink" stroke-width="2" stroke-dasharray="7 4" d="${path('treble')}"/>${mark}${dots}
<text x="${SIZE.width - SIZE.right}" y="${SIZE.height - 8}" text-anchor="end">${words.fit.depth}, ${units}</text><text x="4" y="12">${units}</text></svg>
<ul class="key">${[
    sample(html`<path class="plot-line" d="M0 8H34"/><circle class="plot-bass" cx="17" cy="8" r="6"/>`, plotKey.bass),
    sample(
      html`<path class="plot-line" stroke-dasharray="7 4" d="M0 8H34"/><path class="plot-treble" d="M11 2l12 12m0 -12l-12 12"/>`,
      plotKey.treble,
    ),
    sample(html`<path class="plot-mark" d="M17 0V16"/>`, `${plotKey.target}: ${long(wanted, units)}`),
  ]}</ul>`;
}

/** The readings of the fits as they were given. */
export function fitTable(outcome: Outcome, words: Words): Markup {
  const { units, fits } = outcome.job;
  if (fits.length === 0) return html`<p>${words.fit.none}</p>`;
  const of = (value: number | undefined): string => (value === undefined ? '' : bare(value, units));
  const gauged = GAUGED.filter((each) => fits.some((fit) => fit[each] !== undefined));
  const rows = fits.map((fit, i) => {
    const depth = readSides(fit.depth);
    const isRead = fit.lastFretGap !== undefined;
    const [gap, raised] = [readSides(fit.lastFretGap), readSides(fit.raised)];
    const read = [gap.bass, gap.treble, raised.bass, raised.treble].map((value) => (isRead ? of(value) : ''));
    return [
      String(i + 1),
      of(depth.bass),
      of(depth.treble),
      ...read,
      ...gauged.map((each) => of(fit[each]?.value)),
      of(fit.shim?.value ?? 0),
      fit.note ?? '',
    ];
  });
  const { columns, gaugedColumns } = words.fit;
  const heads = [...columns.slice(0, -2), ...gauged.map((each) => gaugedColumns[each]), ...columns.slice(-2)];
  return html`${tableOf(`${words.fit.table}, ${units}`, heads, rows)}<p>${words.fit.columnsHow}</p>`;
}
