import { readFileSync, writeFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { guideOf } from '../../src/guideJob.ts';
import { readShop } from '../../src/job/readShop.ts';
import type { Shop } from '../../src/job/shop.ts';
import { makeAll } from '../../src/pipeline.ts';
import { planRim, writeRimAirProgram, writeRimProgram } from '../../src/program/writeRim.ts';
import { leaveSaid, oneRunSaid, runWarnings } from '../../src/report/beforeRun.ts';
import type { Outcome } from '../../src/report/outcome.ts';
import { type FirstKind, otherwiseSaid, programsOf } from '../../src/routeJob.ts';
import { run } from '../../src/shell/commands.ts';
import { solveText } from '../../src/solveJob.ts';
import { desk, inProcess, SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';
import { taskOf } from './programTasks.ts';

// What a program's header says of the state that its job is in, beside what its moves do.

const JOB = readFileSync(SAMPLE_JOB, 'utf8');
const SHOP = readFileSync(SAMPLE_SHOP, 'utf8');
const RIM = { diameter: 3, length: 24, flutes: 2, speed: 16000, cut: 800, plunge: 200, depth: 0.3, width: 1.2 };
const KINDS: readonly FirstKind[] = ['floor', 'air', 'trace'];

const room = desk();
afterAll(() => room.remove());

function outcomeOf(text: string): Outcome {
  const solved = solveText({ text, file: 'job.yaml' });
  if (!solved.ok) throw new Error(solved.findings.map(({ message }) => message).join('; '));
  return solved.value;
}

function shopOf(text: string): Shop {
  const read = readShop(text, 'shop.yaml');
  if (!read.ok) throw new Error(read.findings.map(({ message }) => message).join('; '));
  return read.value;
}

/** The header's words of each program, its lines joined: where one breaks is nothing to a reader. */
function headers(job: string, shop: string, kinds: readonly FirstKind[] = KINDS): string[] {
  const made = programsOf(outcomeOf(job), shopOf(shop), kinds);
  if (!made.ok) throw new Error(made.findings.map(({ message }) => message).join('; '));
  return made.value.map(({ program }) => {
    const lines = program.text.split('\n');
    for (const line of lines) expect(line.length).toBeLessThanOrEqual(70);
    const comments = lines.slice(0, lines.indexOf('G17')).filter((line) => line.startsWith('('));
    return comments.map((line) => line.slice(1, -1)).join(' ');
  });
}

/** The job with a fit noted that agrees with it at a depth. */
const fitted = (depth: string): string =>
  `${JOB}fits:\n  - {depth: ${depth}, lastFretGap: {bass: ${depth === '0' ? '1.2' : '1.13'}, treble: ${depth === '0' ? '1.0' : '0.93'}}, raised: ${depth === '0' ? 0 : 1}}\n`;

describe('a floor that is filed already', () => {
  it.each(KINDS)('%s: is never zeroed on; the body’s top stands for it', (kind) => {
    const [header] = headers(fitted('0.5 ± 0.03'), SHOP, [kind]);
    expect(header).toContain('touch the body top beside the pocket and set Z 17.400 there');
    expect(header).toContain('never set Z on it');
    expect(header).toContain('as true as the pocket depth was measured: 0.10 mm');
    expect(header).not.toContain('Z0 on the floor as found');
  });

  it('has its top’s heights in the header where the body lies out of level, lower ends first', () => {
    const mounted = fitted('0.5 ± 0.03').replace(
      '  clearBefore: 25\n',
      '  clearBefore: 25\n  mounted: {mouthBass: 0, mouthTreble: 0, rearBass: 0.5, rearTreble: 0.5}\n',
    );
    const [header = ''] = headers(mounted, SHOP, ['floor']);
    const [, mouth, rear] =
      /body top beside the mouth bass ([\d.]+), mouth treble [\d.]+, rear bass ([\d.]+),/.exec(header) ?? [];
    expect(Number(mouth)).toBeCloseTo(17.4, 2);
    expect(Number(rear)).toBeCloseTo(17.9, 2);
  });

  it('is warned of by make, in the report too; a fit with nothing taken off is not', () => {
    const made = makeAll({ text: fitted('0.5 ± 0.03'), file: 'job.yaml' }, { text: SHOP, file: 'shop.yaml' });
    if (!made.ok) throw new Error('refused');
    expect(made.value.warnings.filter(({ code }) => code === 'zero-from-top')).toHaveLength(1);
    expect(made.value.artifacts.find(({ name }) => name === 'report.txt')?.text).toContain('[zero-from-top]');
    expect(runWarnings(outcomeOf(fitted('0'))).map(({ code }) => code)).toEqual([]);
    expect(headers(fitted('0'), SHOP, ['floor'])[0]).toContain('Z0 on the floor as found, bare wood, near the rear wall');
  });
});

describe('a job from the drawing alone', () => {
  const drawn = JOB.replace(/asFound:[\s\S]*?(?=target:)/, '').replace('lowest: 5.9', 'lowest: 4.9');
  const SAID = 'from the drawing alone: to plan, not to cut, fit the neck first';

  it('says so in every program’s header before all else, and only there', () => {
    for (const header of headers(drawn, SHOP)) expect(header).toMatch(new RegExp(`^pocketpitch: [^:]*? ${SAID} job `));
    for (const header of headers(JOB, SHOP)) expect(header).not.toContain(SAID);
  });

  it('is warned of once by make and by route; the report has its own words for it', async () => {
    const made = makeAll({ text: drawn, file: 'job.yaml' }, { text: SHOP, file: 'shop.yaml' });
    if (!made.ok) throw new Error('refused');
    expect(made.value.warnings.filter(({ code, severity }) => code === 'drawing-alone' && severity === 'warning')).toHaveLength(
      1,
    );
    const report = made.value.artifacts.find(({ name }) => name === 'report.txt')?.text ?? '';
    expect(report).toContain('FROM THE DRAWING ALONE');
    expect(report).not.toContain('drawing-alone');
    const plain = makeAll({ text: drawn, file: 'job.yaml' }, undefined);
    expect(plain.ok && plain.value.warnings.map(({ code }) => code)).not.toContain('drawing-alone');
    writeFileSync(room.path('drawn.yaml'), drawn);
    const routed = await inProcess(['route', room.path('drawn.yaml'), '--shop', SAMPLE_SHOP, '--out', room.path('drawn.nc')]);
    expect(routed.code, routed.err).toBe(0);
    expect(routed.err).toContain('warning drawing-alone: ');
  });
});

describe('a plan that stops before the whole depth', () => {
  const asked = (shop: Shop): string =>
    /with "leave: ([\d.]+ (?:mm|in))"/.exec(oneRunSaid(outcomeOf(JOB), shop).join())?.[1] ?? '';
  const left = (text: string): string => SHOP.replace('leave: 0', `leave: "${text}"`);

  it('says so in the header, from make and once from route, on standard error alone, with the leave that cuts to there', async () => {
    const [first, end] = outcomeOf(JOB).stops;
    const leave = asked(shopOf(SHOP));
    expect(Number.parseFloat(leave)).toBeCloseTo((end?.deepest ?? 0) - (first?.deepest ?? 0), 1);
    const [floor, air] = headers(JOB, SHOP);
    const said = `in one run this cuts to the whole depth: ${end?.deepest.toFixed(3)} mm the plan stops first at ${first?.deepest.toFixed(3)} mm to fit the neck with leave: ${leave}, written so in the shop file`;
    expect(floor).toContain(said);
    // Nothing is cut in the air.
    expect(air).not.toContain('in one run');
    expect(air).toContain('nothing is cut');
    const made = makeAll({ text: JOB, file: 'job.yaml' }, { text: SHOP, file: 'shop.yaml' });
    expect(made.ok && made.value.notes.join()).toContain(`with "leave: ${leave}"`);
    const { out, err } = await inProcess(['route', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--out', room.path('one.nc')]);
    // Thousandths, so that the one less the other comes to the leave.
    const words = `(${end?.deepest.toFixed(3)} mm); the plan stops first at ${first?.deepest.toFixed(3)} mm`;
    expect(err.split(words)).toHaveLength(2);
    expect(out).not.toContain('in one run');
  });

  it('has figures whose sum is right where nearly enough is left', () => {
    const said = oneRunSaid(outcomeOf(JOB), shopOf(left('0.05 mm'))).join();
    const [cuts = 0, stops = 0, leave = 0] = [/cuts to ([\d.]+)/, /stops first at ([\d.]+)/, /"leave: ([\d.]+)/].map((each) =>
      Number(each.exec(said)?.[1]),
    );
    // What is left and what is still too deep, up to a step of calipers.
    const short = 0.05 + cuts - stops;
    expect(leave).toBeGreaterThanOrEqual(short - 0.001);
    expect(leave).toBeLessThan(short + 0.01);
  });

  it.each(['mm', 'in'] as const)(
    'is kept by a program with that leave, which is proved and no deeper than the stop (%s)',
    (units) => {
      const leave = asked({ ...shopOf(SHOP), units });
      expect(leave.endsWith(units)).toBe(true);
      const shop = shopOf(left(leave));
      const outcome = outcomeOf(JOB);
      const made = programsOf(outcome, shop, ['floor']);
      if (!made.ok) throw new Error(made.findings.map(({ message }) => message).join('; '));
      const [floor] = made.value;
      const stop = outcome.stops[0]?.deepest ?? 0;
      expect(floor?.verdict.figures.deepest).toBeLessThanOrEqual(stop + 0.001);
      expect(floor?.verdict.figures.deepest).toBeGreaterThan(stop - 0.02);
      expect(oneRunSaid(outcome, shop)).toEqual([]);
      expect(floor?.program.text).not.toContain('(in one run');
      expect(leaveSaid(outcome, shop.leave)).toEqual([
        expect.stringMatching(/the guide's double line FIT 1\), and fit the neck$/),
      ]);
    },
  );

  it('says what it cuts to where too little is left, and nothing of a leave where nothing is to be cut yet', () => {
    expect(headers(JOB, left('0.05'), ['floor'])[0]).toMatch(/in one run this cuts to 0\.76\d mm the plan stops first/);
    const unsure = JOB.replace('{bass: 1.2 ± 0.05, treble: 1.0 ± 0.05}', '{bass: 1.2 ± 2, treble: 1.0 ± 2}');
    expect(outcomeOf(unsure).stops[0]?.deepest).toBe(0);
    expect(oneRunSaid(outcomeOf(unsure), shopOf(SHOP)).join()).toMatch(/the plan cuts nothing yet/);
    expect(headers(unsure, SHOP, ['floor'])[0]).not.toContain('with leave');
  });

  it('says after a fit where it stops next, and what a program with that leave cuts', () => {
    const outcome = outcomeOf(fitted('0.5 ± 0.03'));
    const [next, end] = outcome.stops;
    if (next === undefined || end === undefined) throw new Error('no stops');
    const said = oneRunSaid(outcome, shopOf(SHOP)).join();
    expect(said).toContain(`the plan stops next at ${next.deepest.toFixed(3)} mm to fit the neck`);
    const leave = /"leave: ([\d.]+ mm)"/.exec(said)?.[1] ?? '';
    expect(headers(fitted('0.5 ± 0.03'), SHOP, ['floor'])[0]).toContain(
      `the plan stops next at ${next.deepest.toFixed(3)} mm to fit the neck with leave: ${leave}, written so`,
    );
    const made = programsOf(outcome, shopOf(left(leave)), ['floor']);
    expect(made.ok && made.value[0]?.verdict.figures.deepest).toBeLessThanOrEqual(next.deepest + 0.001);
    expect(leaveSaid(outcome, Number.parseFloat(leave)).join()).toContain('double line FIT 2');
    expect(oneRunSaid(outcome, shopOf(left(leave)))).toEqual([]);
  });

  it('says nothing of a stop that no file can tell from the whole depth', () => {
    const last = outcomeOf(
      `${fitted('0.5 ± 0.03')}  - {depth: 0.72 ± 0.03, lastFretGap: {bass: 0.81 ± 0.03, treble: 0.61 ± 0.03}, raised: 1}\n`,
    );
    expect(last.stops).toHaveLength(1);
    expect(oneRunSaid(last, shopOf(SHOP))).toEqual([]);
    // What is left for the file then has no line of its own in the guide, nor where all that is short is a skim.
    const skimmed = outcomeOf(JOB.replace('skim: 0}', 'skim: 0.3}'));
    expect(skimmed.stops).toHaveLength(2);
    expect(leaveSaid(skimmed, 0.2).join()).toMatch(/flat to \d\.\d{3} mm at the mouth, and fit the neck$/);
    expect(leaveSaid(last, 0.05).join()).toMatch(/flat to 0\.\d{3} mm at the mouth, and fit the neck$/);
  });

  it('leaves no side deeper than its stop where the floor is rolled', () => {
    const rolled = outcomeOf(JOB.replace('floor: pitch,', 'floor: pitch-and-roll,').replace('treble: 1.0 ±', 'treble: 0.8 ±'));
    const [first, end] = rolled.stops;
    if (first === undefined || end === undefined) throw new Error('no stops');
    expect(Math.abs(end.at.bass - end.at.treble)).toBeGreaterThan(0.05);
    const said = oneRunSaid(rolled, shopOf(SHOP)).join();
    const leave = Number(/"leave: ([\d.]+) mm"/.exec(said)?.[1]);
    for (const side of ['bass', 'treble'] as const) expect(end.at[side] - leave).toBeLessThanOrEqual(first.at[side] + 1e-9);
  });
});

describe('wood that is left for the file', () => {
  const shop = SHOP.replace('leave: 0', 'leave: "0.06 mm"');
  const made = makeAll({ text: JOB, file: 'job.yaml' }, { text: shop, file: 'shop.yaml' });
  if (!made.ok) throw new Error('refused');
  const textOf = (name: string): string => made.value.artifacts.find((each) => each.name === name)?.text ?? '';

  it('is none of what holds the heel up: to be filed flat to the first stop, said once in the report, the notes and the header', () => {
    const high = made.value.warnings.filter(({ code }) => code === 'stays-hold-up').map(({ message }) => message);
    expect(high).toEqual([expect.stringMatching(/strip along the walls/)]);
    expect(high.join()).not.toContain('whole floor');
    const report = textOf('report.txt').replace(/\s+/g, ' ');
    for (const said of [report, made.value.notes.join()]) {
      expect(said.match(/file that floor flat to 0\.755 mm at the mouth \(the guide's double line FIT 1\)/g)).toHaveLength(1);
    }
    expect(report).toContain('What the cutter leaves for chisel and file');
    const header = textOf('floor.nc').replace(/\)\n\(/g, ' ');
    expect(header).toContain(
      'stays for the file: 0.060 mm on the whole floor file that floor flat to 0.755 mm at the mouth, the double line FIT 1 of the guide, and fit the neck',
    );
    expect(header).toMatch(
      /floor deepest at the mouth: 0\.811 mm on the centreline deepest cut 0\.751 mm, 0\.060 left on the floor/,
    );
    expect(textOf('preview.html')).toContain('What the cutter leaves for chisel and file');
  });

  it('is kept by its own program; a deeper one is proved, and told to cut into it and past the plan', async () => {
    writeFileSync(room.path('leave.yaml'), shop);
    writeFileSync(room.path('shallow.nc'), textOf('floor.nc'));
    const deeper = programsOf(outcomeOf(JOB), shopOf(SHOP), ['floor']);
    writeFileSync(room.path('deep.nc'), deeper.ok ? (deeper.value[0]?.program.text ?? '') : '');
    const prove = (name: string, by: string) => inProcess(['prove', room.path(name), '--job', SAMPLE_JOB, '--shop', by]);
    const own = await prove('shallow.nc', room.path('leave.yaml'));
    expect(own.code, own.out).toBe(0);
    expect(own.out).toMatch(/^proved: the text leaves this floor, up to 0\.06 mm higher for the file, and touches nothing else/);
    expect(own.err).not.toMatch(/into-leave|in one run/);
    const old = await prove('deep.nc', room.path('leave.yaml'));
    expect(old.code, old.out).toBe(0);
    expect(old.err).toContain(
      'warning into-leave: the cutter goes 0.06 mm (0.00236 in) into the 0.06 mm (0.00236 in) that the shop file keeps',
    );
    expect(old.err).toContain('cuts to the whole depth (0.811 mm); the plan stops first at 0.755 mm');
    expect(old.err).toContain('one written with this shop file stops there');
  });
});

describe('readings that contradict each other', () => {
  const odd = `${JOB}fits:\n  - {depth: 0.5, lastFretGap: {bass: 1.7, treble: 1.5}, raised: 1}\n`;

  it('after a fit: no guide and no program, for the plan takes nothing off; report and preview are made', async () => {
    expect(outcomeOf(odd).fitting?.surprise).not.toBeNull();
    const refused = programsOf(outcomeOf(odd), shopOf(SHOP), ['floor']);
    expect(refused.ok ? [] : refused.findings.map(({ code, exit }) => `${code} ${exit}`)).toEqual(['measure-again 3']);
    const made = makeAll({ text: odd, file: 'job.yaml' }, { text: SHOP, file: 'shop.yaml' });
    const names = made.ok ? made.value.artifacts.map(({ name }) => name) : [];
    expect(names).toEqual(['report.txt', 'report.json', 'preview.html']);
    expect(made.ok && made.value.notes.join()).toContain('the plan takes nothing off yet, so there is no guide and no program');
    const guide = guideOf(outcomeOf(odd), shopOf(SHOP));
    expect(guide.ok ? [] : guide.findings.map(({ code, exit }) => `${code} ${exit}`)).toEqual(['measure-again 3']);
    const page = made.ok ? String(made.value.artifacts.find(({ name }) => name === 'preview.html')?.text) : '';
    expect(page).not.toContain('Where to stop and fit');
    writeFileSync(room.path('odd.yaml'), odd);
    const look = await inProcess(['preview', room.path('odd.yaml'), '--shop', SAMPLE_SHOP, '--out', room.path('odd.html')]);
    expect(look.code, look.err).toBe(0);
    expect(look.err).toContain('the plan takes nothing off yet');
  });

  it('before the first one: the header says so before all else', () => {
    const before = JOB.replace('asFound:\n', 'asFound:\n  straightedge: {bass: 3 ± 0.05, treble: 3 ± 0.05}\n');
    expect(outcomeOf(before).warnings.map(({ code }) => code)).toContain('evidence-contradicts');
    for (const header of headers(before, SHOP))
      expect(header).toMatch(/^pocketpitch: [^:]*? the readings contradict each other: measure again before you cut /);
  });
});

describe('a program that is judged as what its header says it is not', () => {
  const shop = shopOf(SHOP);
  const texts = (shopText: string): string[] => {
    const made = programsOf(outcomeOf(JOB), shopOf(shopText), KINDS);
    if (!made.ok) throw new Error('refused');
    return made.value.map(({ program }) => program.text);
  };
  const [floor = '', air = '', trace = ''] = texts(SHOP);
  const [turned = ''] = texts(SHOP.replace('turn: 0', 'turn: 90'));

  it.each([
    [floor, 'air', 'its header says it is a floor program: --as floor'],
    [air, 'floor', 'its header says it is an air program: --as air'],
    [trace.replace(/\n/g, '\r\n'), 'floor', 'its header says it is a trace program: --as trace'],
    [turned, 'floor', 'its header says turned 90 degrees, the shop file says 0 (program.turn)'],
  ] as const)('is told so: %#', (text, as, said) => {
    expect(otherwiseSaid(text, as, shop)).toEqual([said]);
  });

  it.each([
    [floor, 'floor'],
    [air, 'air'],
    [trace, 'trace'],
    ['G21\nM2\n', 'air'],
  ] as const)('and nothing where all is as it says, or it says nothing: %#', (text, as) => {
    expect(otherwiseSaid(text, as, shop)).toEqual([]);
  });

  it('says so of the second cutter’s programs', () => {
    const task = taskOf({ gx: 0.014 });
    const rim = planRim({ ...task, shop: { ...task.shop, rim: RIM } });
    if (!rim.ok || rim.value === undefined) throw new Error('no rim program');
    expect(otherwiseSaid(writeRimProgram(rim.value).text, 'floor', shop)).toEqual([
      'its header says it is a rim program: --as rim --after floor.nc',
    ]);
    const inAir = writeRimAirProgram(rim.value).text;
    expect(otherwiseSaid(inAir, 'air', shop)).toEqual([]);
    expect(otherwiseSaid(inAir, 'rim', shop)).toEqual(["its header says it is a rim cutter's air program: --as air"]);
  });

  it('is told so before the verdict, and that it names another job before that, whatever the answer is written as', async () => {
    writeFileSync(room.path('other.nc'), turned.replace(/^\(job .*$/m, '(job 0123456789ab)'));
    for (const more of [[], ['--json'], ['--report']]) {
      const told: string[] = [];
      const say = (text: string): void => void told.push(text);
      await run(['prove', room.path('other.nc'), '--job', SAMPLE_JOB, '--shop', SAMPLE_SHOP, ...more], { out: say, err: say });
      expect(told.slice(0, 3)).toEqual([
        expect.stringContaining('names job 0123456789ab'),
        expect.stringContaining('turned 90 degrees'),
        expect.stringMatching(/not proved|NOT PROVED|"proved": false/),
      ]);
    }
  });

  it('is only a hint: prove says it on standard error and goes by the moves', async () => {
    const path = room.path('turned.nc');
    writeFileSync(path, turned);
    const judged = await inProcess(['prove', path, '--job', SAMPLE_JOB, '--shop', SAMPLE_SHOP]);
    expect(judged.code).toBe(4);
    expect(judged.err).toMatch(/its header says turned 90 degrees, the shop file says 0/);
    writeFileSync(
      path,
      floor.replace('(pocketpitch: neck pocket floor)', '(pocketpitch: walk round the pocket at clear height, spindle off)'),
    );
    const misnamed = await inProcess(['prove', path, '--job', SAMPLE_JOB, '--shop', SAMPLE_SHOP]);
    expect(misnamed.code).toBe(0);
    expect(misnamed.err).toContain('says it is a trace program');
  });
});
