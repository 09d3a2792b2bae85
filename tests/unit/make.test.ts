import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { guideOf } from '../../src/guideJob.ts';
import { readShop } from '../../src/job/readShop.ts';
import { type Made, makeAll } from '../../src/pipeline.ts';
import { programsOf } from '../../src/routeJob.ts';
import { solveText } from '../../src/solveJob.ts';
import { SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';

const JOB = readFileSync(SAMPLE_JOB, 'utf8');
const SHOP = readFileSync(SAMPLE_SHOP, 'utf8');

/** A text with each of the parts given replaced; a part that is not there would make the test say nothing. */
function changed(text: string, changes: readonly (readonly [string, string])[]): string {
  return changes.reduce((now, [from, to]) => {
    expect(now).toContain(from);
    return now.replace(from, to);
  }, text);
}

function made(job: string, shop: string | undefined): Made {
  const result = makeAll({ text: job, file: 'job' }, shop === undefined ? undefined : { text: shop, file: 'shop' });
  if (!result.ok) throw new Error(result.findings.map(({ message }) => message).join('; '));
  return result.value;
}

const textOf = (all: Made, name: string): string => all.artifacts.find((each) => each.name === name)?.text ?? '';
const assumedOf = (all: Made): string[] => (JSON.parse(textOf(all, 'report.json')) as { assumed: string[] }).assumed;
/** Prose is wrapped: a line break is a space to who looks for words. */
const words = (text: string): string => text.replace(/\s+/g, ' ');

describe('a sheet that does not hold the guide', () => {
  const job = changed(JOB, [
    ['length: 71.5 ± 0.1', 'length: 150'],
    ['width: 58.2 ± 0.1', 'width: 150'],
    ['{bass: 1.2 ± 0.05, treble: 1.0 ± 0.05}', '0.5'],
  ]);
  const shop = changed(SHOP, [
    ['length: 26', 'length: 40'],
    ['measuredX: 100, measuredY: 100', 'measuredX: 80, measuredY: 80'],
  ]);

  it('costs make the guide alone, says so, and the guide command still refuses', () => {
    const all = made(job, shop);
    expect(all.artifacts.map(({ name }) => name)).toEqual([
      'report.txt',
      'report.json',
      'rails-left.stl',
      'rails-right.stl',
      'floor.nc',
      'air.nc',
      'trace.nc',
      'preview.html',
    ]);
    expect(all.notes).toEqual([
      'no guide was made: the sheet is too small for it',
      expect.stringMatching(/^in one run the program cuts to the whole depth .* with "leave: \d\.\d\d mm"/),
    ]);
    const warning = all.warnings.find(({ code }) => code === 'sheet-too-small');
    expect(warning).toMatchObject({ severity: 'warning', exit: null });
    expect(warning?.remedy).toBeDefined();
    expect(textOf(all, 'report.txt')).toContain('sheet-too-small');
    const outcome = solveText({ text: job, file: 'job' });
    if (!outcome.ok) throw new Error('the job must be sound');
    const read = readShop(shop, 'shop');
    if (!read.ok) throw new Error('the shop file must be sound');
    const alone = guideOf(outcome.value, read.value);
    expect(alone).toMatchObject({ ok: false, findings: [{ code: 'sheet-too-small', severity: 'error', exit: 3 }] });
  });
});

describe('a shop file for the paper alone', () => {
  const paper = 'shop: 1\nunits: in\nsheet: {paper: Letter, measuredX: 3.94}\n';

  it('gets what make gives without one, on its own paper, and says why there is no program', () => {
    const all = made(JOB, paper);
    const names = (each: Made): string[] => each.artifacts.map(({ name }) => name);
    expect(names(all)).toEqual(names(made(JOB, undefined)));
    expect(all.notes).toEqual([
      'the shop file names no cutter (cutter.diameter, cutter.length, program.units), so no router program was made',
    ]);
    expect(textOf(all, 'guide.svg')).toContain('width="215.9mm"');
    expect(assumedOf(all).filter((said) => said.includes(' '))).toEqual([
      'sheet.measuredY 3.937 in',
      'rails.length 10.24 in',
      'rails.base 5.906 in',
    ]);
  });

  it('still gets no program from route, and a cutter named in part is refused by make as before', () => {
    const outcome = solveText({ text: JOB, file: 'job' });
    const read = readShop(paper, 'shop');
    if (!outcome.ok || !read.ok) throw new Error('both must be sound');
    expect(programsOf(outcome.value, read.value, ['floor'])).toMatchObject({
      ok: false,
      findings: [{ exit: 3 }, { exit: 3 }, { exit: 3 }],
    });
    const part = makeAll({ text: JOB, file: 'job' }, { text: `${paper}cutter: {diameter: 1/4}\n`, file: 'shop' });
    expect(part.ok ? [] : part.findings.map(({ code, exit }) => `${code} ${exit}`)).toEqual([
      'cutter-length-missing 3',
      'program-units-missing 3',
    ]);
  });
});

const RAILS = ['rails.length 260 mm', 'rails.base 150 mm'];

describe('what was not given', () => {
  it('is nothing where every key is given', () => {
    const all = made(JOB, SHOP);
    expect(words(textOf(all, 'report.txt'))).not.toContain('and taken as');
    // What is left is the measurements without a ± of their own, by their bare names.
    expect(assumedOf(all).filter((said) => said.includes(' '))).toEqual([]);
  });

  it('is said with its value in report.txt and report.json, of the job as of the shop file', () => {
    const job = changed(JOB, [
      ['  leastFloor: 10\n', ''],
      [', plate: 2, leastHold: 12', ''],
      ['hand: right\n', ''],
      [', floor: pitch, skim: 0', ''],
    ]);
    const shop = changed(SHOP, [
      ['zeroing: 0.05\n', ''],
      [', plunge: 300', ''],
      [', measuredY: 100', ''],
      ['rails: {length: 260, base: 150}\n', ''],
    ]);
    const all = made(job, shop);
    const ofJob = ['hand right', 'pocket.leastFloor 10 mm', 'screw.plate 0 mm', 'screw.leastHold 12 mm'];
    const said = [...ofJob, 'target.floor pitch', 'target.skim 0 mm', 'feed.plunge 300 mm/min', 'zeroing 0.05 mm'];
    expect(assumedOf(all).filter((each) => each.includes(' '))).toEqual([...said, 'sheet.measuredY 100 mm', ...RAILS]);
    const text = words(textOf(all, 'report.txt'));
    expect(text).toContain(`Not in the job file, and taken as: ${said.slice(0, 6).join(', ')}.`);
    expect(text).toContain(
      `Not in the shop file, and taken as: ${said.slice(6).join(', ')}, sheet.measuredY 100 mm, ${RAILS.join(', ')}.`,
    );
  });

  it('is said of the sheet where there is no shop file', () => {
    const said = assumedOf(made(JOB, undefined)).filter((each) => each.includes(' '));
    expect(said).toEqual(['sheet.paper A4', 'sheet.measuredX 100 mm', 'sheet.measuredY 100 mm', ...RAILS]);
  });
});
