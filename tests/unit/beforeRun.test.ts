import { readFileSync, writeFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { readShop } from '../../src/job/readShop.ts';
import type { Shop } from '../../src/job/shop.ts';
import { makeAll } from '../../src/pipeline.ts';
import { runWarnings } from '../../src/report/beforeRun.ts';
import type { Outcome } from '../../src/report/outcome.ts';
import { type FirstKind, programsOf } from '../../src/routeJob.ts';
import { solveText } from '../../src/solveJob.ts';
import { desk, inProcess, SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';

// What a program's header says of the state that its job is in, beside what its moves do.

const JOB = readFileSync(SAMPLE_JOB, 'utf8');
const SHOP = readFileSync(SAMPLE_SHOP, 'utf8');
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
    expect(header).toContain('to 0.50 mm either way');
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
