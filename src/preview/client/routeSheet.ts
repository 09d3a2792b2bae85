import { clock } from '../figures.ts';
import { levelAt, levelsOf, type Moment, momentAtLine, momentAtTime, placeAt, secondsAt } from '../timeline.ts';
import { latticeOf } from '../wood.ts';
import { byId, make, onWidth, PAPER_WIDTH, zoomNow } from './dom.ts';
import { extentOf, type Frame, frameAbove, frameSide, type SideFrame } from './frames.ts';
import { type LineLayer, lineLayer } from './lineLayer.ts';
import { listing } from './listing.ts';
import { type Palette, paletteNow } from './palette.ts';
import { readout, routeKey, sideScaleSaid } from './routeTexts.ts';
import { cleanSheet, drawAbove, drawSide } from './routeViews.ts';
import { type Run, type SceneUnder, woodDuring } from './run.ts';
import { woodPicture } from './woodPicture.ts';

/** Steps drawn, and points of wood looked at, in one frame: a few milliseconds on a slow machine. */
const STEPS_A_FRAME = 12_000;
const POINTS_A_FRAME = 300_000;
/** mm of the body's top shown around the pocket. */
const AROUND_MM = 5;
/** Dots a CSS pixel on paper, about 300 an inch. */
const PAPER_RATIO = 3;
/** Points of wood looked at for a print at most: some seconds. Only a program whose every move crosses the pocket has more. */
const POINTS_ON_PAPER = 500_000_000;
/** Steps from which lines on paper would lie side by side and hide the wood: they are drawn as threads then. */
const DENSE_FROM = 30_000;
const THREAD_PX = 0.25;

interface Views {
  readonly above: Frame;
  readonly side: SideFrame;
  readonly palette: Palette;
  readonly range: { readonly first: number; readonly after: number };
  readonly toCome: readonly [LineLayer, LineLayer];
  readonly done: readonly [LineLayer, LineLayer];
}

export interface RouteSheet {
  readonly draw: (printing: boolean) => void;
}

/**
 * The sheet with the cutter's way at work, of the last of some runs: the ones before it have been in the wood. `end` is what the ids of its fields
 * end in.
 */
export function routeSheet(scene: SceneUnder, runs: readonly Run[], end: string): RouteSheet {
  const { program, read, timeline } = runs.at(-1) as Run;
  const field = <T extends Element>(name: string, type: new () => T): T => byId(`${name}${end}`, type);
  const levels = levelsOf(timeline, scene.plane, scene.pocketDepth);
  const extent = extentOf(scene, timeline);
  // Above the floor as found nothing is cut; a program that never goes below it is drawn whole.
  const airFrom = extent.z0 < 0 ? 0 : Number.POSITIVE_INFINITY;
  const lattice = latticeOf(scene.outline, scene.pocketDepth, AROUND_MM);
  const wood = woodDuring(runs, lattice, scene.pocketDepth);
  const picture = woodPicture(lattice, scene, runs.length > 1);
  const faulty = program.faults.map(({ line }) => momentAtLine(timeline, line).done - 1).filter((i) => i >= 0);
  const canvases = [field('above', HTMLCanvasElement), field('side', HTMLCanvasElement)] as const;
  const fields = {
    run: field('run', HTMLButtonElement),
    pace: field('pace', HTMLSelectElement),
    level: field('level', HTMLSelectElement),
    line: field('line', HTMLInputElement),
    time: field('time', HTMLInputElement),
    lines: field('lines-through', HTMLInputElement),
  };
  const say = readout(field('state', HTMLDListElement), scene, timeline);
  const list = listing(field('lines', HTMLOListElement), read.lines, program.faults);
  routeKey(field('route-key', HTMLUListElement), scene, runs.length > 1);

  const state = {
    moment: { done: 0, part: 0 } as Moment,
    line: 0,
    running: false,
    stamp: 0,
    asked: false,
    width: 0,
    printing: false,
  };
  let views: Views | undefined;
  let woodShown = '';

  const widthNow = (): number => (state.printing ? PAPER_WIDTH : state.width);
  const ratioNow = (): number => (state.printing ? PAPER_RATIO : Math.min(2, zoomNow() * (devicePixelRatio || 1)));
  const rangeNow = (): Views['range'] => {
    const choice = fields.level.value;
    if (choice === 'all' || levels.length === 0) return { first: 0, after: timeline.count };
    const at = choice === 'now' ? levelAt(levels, state.moment.done) : Number(choice);
    return { first: levels[at - 1]?.after ?? 0, after: levels[at]?.after ?? timeline.count };
  };

  const viewsNow = (): Views => {
    const range = rangeNow();
    if (
      views !== undefined &&
      views.range.first === range.first &&
      views.range.after === range.after &&
      views.above.width === widthNow()
    )
      return views;
    const above = frameAbove(extent, widthNow());
    const side = frameSide(extent, above, scene.deepest);
    const palette = paletteNow(state.printing);
    const ratio = ratioNow();
    const isDense = state.printing && timeline.count > DENSE_FROM;
    const [thin, ink] = isDense ? [THREAD_PX, palette.rule] : [1, palette.ink];
    const layer = (frame: Frame, color: string, width: number): LineLayer =>
      lineLayer(timeline, range.first, frame.projection, { ...frame, ratio }, { color, width, airFrom });
    views = {
      above,
      side,
      palette,
      range,
      toCome: [layer(above, palette.rule, thin), layer(side, palette.rule, thin)],
      done: [layer(above, ink, isDense ? thin : 1.4), layer(side, ink, isDense ? thin : 1.2)],
    };
    canvases.forEach((canvas, i) => {
      const frame = i === 0 ? above : side;
      canvas.style.aspectRatio = `${frame.width} / ${frame.height}`;
    });
    Object.assign(canvases[0].dataset, {
      k: String(above.k),
      x0: String(above.projection.px(0, 0, 0)),
      y0: String(above.projection.py(0, 0, 0)),
    });
    field('route-scale', HTMLParagraphElement).textContent = sideScaleSaid(side, extent, scene.units);
    woodShown = '';
    return views;
  };

  const lineNow = (): number => {
    const { done, part } = state.moment;
    const step = part > 0 ? done : done - 1;
    return step < 0 ? 0 : (timeline.line[Math.min(step, timeline.count - 1)] ?? 0);
  };

  /** Draws the present moment; what does not fit in one frame is drawn in the next ones. */
  const render = (): void => {
    if (state.width === 0) return;
    const shown = viewsNow();
    const { moment } = state;
    const steps = state.printing ? timeline.count : STEPS_A_FRAME;
    let ready = true;
    for (const layer of shown.toCome) ready = layer.goTo(shown.range.after, steps) && ready;
    for (const layer of shown.done)
      ready = layer.goTo(Math.max(shown.range.first, Math.min(moment.done, shown.range.after)), steps) && ready;
    const at = placeAt(timeline, moment);
    const from = placeAt(timeline, { done: moment.part > 0 ? moment.done : moment.done - 1, part: 0 });
    let heights: Float32Array | undefined;
    if (wood !== undefined) {
      const there = wood.goTo(moment.done, state.printing ? POINTS_ON_PAPER : POINTS_A_FRAME);
      ready = there && ready;
      heights = there && moment.part > 0 ? wood.with(at) : wood.heights;
      const key = `${wood.at()} ${there ? moment.part : 0}`;
      if (key !== woodShown) picture.draw(heights, shown.palette);
      woodShown = key;
    }
    const ratio = ratioNow();
    const both = { palette: shown.palette, from, at, faulty };
    const layersOf = (i: 0 | 1): HTMLCanvasElement[] => [shown.toCome[i].canvas, shown.done[i].canvas];
    const above = cleanSheet(canvases[0], shown.above, ratio, shown.palette);
    const onAbove = wood === undefined ? undefined : { lattice, picture: picture.canvas };
    drawAbove(above, shown.above, scene, timeline, { ...both, layers: layersOf(0) }, onAbove);
    const side = cleanSheet(canvases[1], shown.side, ratio, shown.palette);
    const onSide = heights === undefined ? undefined : { lattice, heights };
    drawSide(side, shown.side, scene, timeline, { ...both, layers: layersOf(1) }, onSide);
    const step = moment.part > 0 ? moment.done : moment.done - 1;
    const level = levels.length === 0 ? 'none' : `${levelAt(levels, moment.done) + 1} of ${levels.length}`;
    say({ line: state.line, at, step, seconds: secondsAt(timeline, moment), level, behind: !ready });
    if (!ready) ask();
  };

  const frame = (stamp: number): void => {
    state.asked = false;
    if (state.running) {
      const passed = state.stamp === 0 ? 0 : (stamp - state.stamp) / 1000;
      state.stamp = stamp;
      const seconds = secondsAt(timeline, state.moment) + Math.min(passed, 0.25) * Number(fields.pace.value);
      show(momentAtTime(timeline, seconds));
      if (state.moment.done >= timeline.count) run(false);
      else ask();
    }
    render();
  };
  function ask(): void {
    if (state.asked) return;
    state.asked = true;
    requestAnimationFrame(frame);
  }

  const show = (moment: Moment, line?: number): void => {
    state.moment = moment;
    const now = line ?? lineNow();
    if (now !== state.line || line !== undefined) list(now);
    state.line = now;
    const seconds = secondsAt(timeline, moment);
    fields.time.value = String(seconds);
    const said = `${clock(seconds)} of ${clock(timeline.seconds)}`;
    fields.time.setAttribute('aria-valuetext', said);
    field('time-said', HTMLOutputElement).textContent = said;
    fields.lines.value = String(now);
    field('line-said', HTMLOutputElement).textContent = `${now} of ${timeline.lines}`;
    if (document.activeElement !== fields.line) fields.line.value = String(now);
    ask();
  };
  const run = (on: boolean): void => {
    state.running = on;
    state.stamp = 0;
    fields.run.textContent = on ? 'Stop' : 'Run';
    if (on && state.moment.done >= timeline.count) show({ done: 0, part: 0 });
    ask();
  };
  /** A jump that was asked for is said aloud; a run is not. */
  const jump = (moment: Moment, line?: number): void => {
    run(false);
    show(moment, line);
    field('route-said', HTMLParagraphElement).textContent = `Line ${state.line}: ${read.lines[state.line - 1] ?? ''}`;
  };
  const toLine = (asked: number): void => {
    const line = Math.max(0, Math.min(timeline.lines, Math.round(asked) || 0));
    jump(momentAtLine(timeline, line), line);
  };

  fields.level.append(
    ...[
      ['now', 'the level under way'],
      ['all', 'all levels'],
    ].map(([value, text]) => {
      const option = make('option', text);
      option.value = value ?? '';
      return option;
    }),
    ...levels.map((_, i) => {
      const option = make('option', `level ${i + 1}`);
      option.value = String(i);
      return option;
    }),
  );
  fields.time.max = String(timeline.seconds);
  fields.line.max = String(timeline.lines);
  fields.lines.max = String(timeline.lines);
  fields.run.addEventListener('click', () => run(!state.running));
  field('back', HTMLButtonElement).addEventListener('click', () => {
    const { done, part } = state.moment;
    jump({ done: Math.max(0, part > 0 ? done : done - 1), part: 0 });
  });
  field('on', HTMLButtonElement).addEventListener('click', () =>
    jump({ done: Math.min(timeline.count, state.moment.done + 1), part: 0 }),
  );
  fields.level.addEventListener('input', ask);
  fields.line.addEventListener('input', () => toLine(Number(fields.line.value)));
  fields.time.addEventListener('input', () => {
    run(false);
    show(momentAtTime(timeline, Number(fields.time.value)));
  });
  fields.lines.addEventListener('input', () => {
    const line = Number(fields.lines.value);
    run(false);
    show(momentAtLine(timeline, line), line);
  });
  for (const button of document.querySelectorAll<HTMLButtonElement>(`#faults${end} button`))
    button.addEventListener('click', () => {
      toLine(Number(button.dataset.line));
      fields.line.value = String(state.line);
      canvases[0].scrollIntoView({ block: 'nearest' });
    });
  onWidth(canvases[0], (width) => {
    state.width = width;
    render();
  });
  // Where something is wrong, that is looked at first.
  const [fault] = program.faults;
  if (fault === undefined) show({ done: 0, part: 0 }, 0);
  else show(momentAtLine(timeline, fault.line), fault.line);

  let before: { moment: Moment; line: number; level: string } | undefined;
  return {
    draw(printing) {
      // On paper the whole way and the finished floor are of use, not the moment that happened to be shown.
      if (printing && !state.printing) {
        before = { moment: state.moment, line: state.line, level: fields.level.value };
        fields.level.value = 'all';
        show({ done: timeline.count, part: 0 });
      } else if (!printing && before !== undefined) {
        fields.level.value = before.level;
        show(before.moment, before.line);
        before = undefined;
      }
      state.printing = printing;
      views = undefined;
      render();
    },
  };
}
