import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { readShop } from '../../src/job/readShop.ts';
import { programsOf, proofWorkOf } from '../../src/routeJob.ts';
import { solveText } from '../../src/solveJob.ts';

const samples = join(dirname(fileURLToPath(import.meta.url)), '../../samples');
const job = readFileSync(join(samples, 'reedling.yaml'), 'utf8');
const shopRead = readShop(readFileSync(join(samples, 'marshlight-shop.yaml'), 'utf8'), 'shop.yaml');
if (!shopRead.ok) throw new Error('the sample shop is not read');
const shop = shopRead.value;

/** The sample job with `pocket.mounted`. */
function solved(mounted: string) {
  const text = job.replace('  clearBefore: 25\n', `  clearBefore: 25\n  mounted: ${mounted}\n`);
  expect(text).not.toBe(job);
  const outcome = solveText({ text, file: 'job.yaml' });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.findings));
  return outcome.value;
}

describe('a job whose floor was measured as clamped', () => {
  test('gives programs, proved, for a turned table too', () => {
    const outcome = solved('{mouthBass: 0, mouthTreble: 0.05, rearBass: 0.4, rearTreble: 0.45}');
    expect(outcome.warnings.map(({ code }) => code)).not.toContain('mounted-not-flat');
    for (const turn of [90, 270] as const) {
      const made = programsOf(outcome, { ...shop, program: { ...shop.program, turn } }, ['floor']);
      expect(made.ok ? [] : made.findings).toEqual([]);
    }
  });

  test('heights that miss one plane by just more than 0.03 mm are said, just less are not', () => {
    const codes = (twist: number): string[] =>
      solved(`{mouthBass: ${twist}, mouthTreble: 0, rearBass: 0, rearTreble: ${twist}}`).warnings.map(({ code }) => code);
    expect(codes(0.0602)).toContain('mounted-not-flat');
    expect(codes(0.0598)).not.toContain('mounted-not-flat');
  });

  test('more than 2 degrees out of level is refused with exit 3 and what would help, by the writer and by the proof', () => {
    const rise = (degrees: number): string => (71.5 * Math.sin((degrees * Math.PI) / 180)).toFixed(4);
    const steep = solved(`{mouthBass: 0, mouthTreble: 0, rearBass: ${rise(2.01)}, rearTreble: ${rise(2.01)}}`);
    for (const refused of [programsOf(steep, shop, ['floor']), proofWorkOf(steep, shop)]) {
      expect(refused.ok).toBe(false);
      if (refused.ok) continue;
      expect(refused.findings.map(({ code, exit }) => [code, exit])).toEqual([['mounted-too-steep', 3]]);
      expect(refused.findings[0]?.remedy).toContain('shim');
    }
    const just = solved(`{mouthBass: 0, mouthTreble: 0, rearBass: -${rise(1.9)}, rearTreble: -${rise(1.9)}}`);
    const long = { ...shop, cutter: { ...shop.cutter, length: 30 } };
    const made = programsOf(just, long, ['floor']);
    expect(made.ok ? [] : made.findings).toEqual([]);
  });
});
