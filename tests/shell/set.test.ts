import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { builtCommand, type Command, desk, INSIDES, inProcess, SAMPLE_JOB, watched } from '../support/command.ts';

let command: Command;
const room = desk();
beforeAll(() => {
  command = builtCommand();
});
afterAll(() => {
  room.remove();
});

describe('solve', () => {
  it('--sampled says both ± side by side and they agree; progress is plain lines on standard error', () => {
    const { code, out, err } = command.run(['solve', SAMPLE_JOB, '--sampled', '1000', '--json']);
    expect(code, err).toBe(0);
    const { floor, sampled } = JSON.parse(out) as {
      floor: { deepestUncertainty: number };
      sampled: { count: number; unsolved: number; deepest: { mean: number; uncertainty: number } };
    };
    expect(sampled.count).toBe(1000);
    expect(sampled.unsolved).toBe(0);
    expect(Math.abs(sampled.deepest.uncertainty / floor.deepestUncertainty - 1)).toBeLessThan(0.1);
    expect(err).toContain('sampling: 500 of 1000\n');
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what must not be there
    expect(err).not.toMatch(/[\r\u001b]/);
    expect(command.run(['solve', SAMPLE_JOB, '--sampled', '200']).out).toMatch(/worked out +sampled/);
  });

  it.each(['0', '99', 'many', '1e3', '-5', '10000000'])('--sampled %s is a mistake', (draws) => {
    const { code, out, err } = command.run(['solve', SAMPLE_JOB, '--sampled', draws]);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).not.toMatch(INSIDES);
  });

  it('--action sets the saddles for it, in any unit', () => {
    const { code, out } = command.run(['solve', SAMPLE_JOB, '--action', '5/64 in']);
    expect(code).toBe(0);
    expect(out).toContain('1.98 mm over the 12th fret');
    const json = JSON.parse(command.run(['solve', SAMPLE_JOB, '--action', '2.2', '--json']).out) as {
      setting: { action: number; gaps: { fret: number; chosen: { bass: number } }[] };
    };
    expect(json.setting.action).toBe(2.2);
    expect(json.setting.gaps[11]?.chosen.bass).toBeCloseTo(2.2, 9);
    for (const wrong of ['high', '0', '40', '2,2']) expect(command.run(['solve', SAMPLE_JOB, '--action', wrong]).code).toBe(2);
  });
});

describe('compare', () => {
  it('writes the shims as solids, replaces its own and nothing else', () => {
    const args = ['compare', SAMPLE_JOB, '--wedge', room.path('wedge.stl'), '--flat', room.path('flat.stl')];
    for (const _ of [1, 2]) expect(command.run(args).code).toBe(0);
    expect(room.text('wedge.stl')).toMatch(/^solid pocketpitch-wedge-shim-[0-9a-f]+\n/);
    expect(room.text('flat.stl').trimEnd()).toMatch(/\nendsolid \S+$/);
    writeFileSync(room.path('mine.stl'), 'solid mine\nendsolid mine\n');
    const { code, err } = command.run(['compare', SAMPLE_JOB, '--wedge', room.path('mine.stl')]);
    expect(code).toBe(2);
    expect(err).toContain('--replace');
    expect(room.text('mine.stl')).toContain('solid mine');
    expect(command.run(['compare', SAMPLE_JOB, '--wedge', room.path('wedge.obj')]).code).toBe(2);
  });
});

describe('a fit that took too much', () => {
  const job = room.path('over.yaml');
  const fit = ['fit', job, '--depth', '0.95 ± 0.02', '--gap-bass', '0.48', '--gap-treble', '0.28', '--raised', '1'];

  it('has its shim written by compare, thick where too much came off, and no shim of the floor as found', async () => {
    copyFileSync(SAMPLE_JOB, job);
    const { out } = await inProcess([...fit, '--json']);
    const { wayBack } = (JSON.parse(out) as { fit: { wayBack: number } }).fit;
    expect(wayBack).toBeGreaterThan(0.05);
    const made = await inProcess(['compare', job, '--wedge', room.path('back.stl')]);
    expect(made.code, made.err).toBe(0);
    expect(made.err).toContain('thick at the mouth');
    const corners = [...room.text('back.stl').matchAll(/vertex (\S+) \S+ (\S+)/g)].map(([, x, z]) => [Number(x), Number(z)]);
    const length = Math.max(...corners.map(([x = 0]) => x));
    // The thickness runs out in proportion to the way from the mouth: every corner of the upper face lies on that plane.
    const upper = corners.filter(([, z = 0]) => z > 0);
    expect(upper.length).toBeGreaterThan(6);
    for (const [x = 0, z = 0] of upper) expect(z).toBeCloseTo(wayBack * (1 - x / length), 3);
    const flat = await inProcess(['compare', job, '--flat', room.path('flat-back.stl')]);
    expect(flat.code).toBe(3);
    expect(flat.err).toContain('no-such-shim');
  });

  it('is taken out again by --undo, the file as it was, and only a fit that is there', async () => {
    copyFileSync(SAMPLE_JOB, job);
    expect((await inProcess(fit)).code).toBe(0);
    const undone = await inProcess(['fit', job, '--undo']);
    expect(undone.code, undone.err).toBe(0);
    expect(undone.out).toMatch(/^Took fit 1 out of .*\n\nTake off /);
    expect(readFileSync(job, 'utf8')).toBe(readFileSync(SAMPLE_JOB, 'utf8'));
    const again = await inProcess(['fit', job, '--undo']);
    expect(again.code).toBe(2);
    expect(again.err).toContain('no fit that can be taken out');
    expect((await inProcess(['fit', job, '--undo', '--depth', '1'])).code).toBe(2);
  });
});

describe('two processes that note a fit in one job at once', () => {
  it('lose neither, or the one that is refused is told', async () => {
    const job = room.path('shared.yaml');
    for (let round = 0; round < 4; round++) {
      copyFileSync(SAMPLE_JOB, job);
      const notes = ['from the left', 'from the right', 'from the middle'];
      const runs = await Promise.all(
        notes.map((note) => watched(command, ['fit', job, '--depth', '0.6 ± 0.03', '--gap', '0.3 ± 0.1', '--note', note])),
      );
      const { fits } = parse(readFileSync(job, 'utf8')) as { fits: { note: string }[] };
      const taken = fits.map(({ note }) => note);
      expect(taken.length).toBeGreaterThan(0);
      runs.forEach(({ code, err }, i) => {
        expect(code === 0, err).toBe(taken.includes(notes[i] as string));
        if (code === 0) return;
        expect(code).toBe(2);
        expect(err).toContain('job-in-use');
      });
    }
    expect(room.files().filter((name) => name.includes('.lock') || name.includes('.part'))).toEqual([]);
  });
});

describe('fit', () => {
  it('without a terminal and without its readings is exit 2, says all that is missing, and touches nothing', () => {
    const job = room.path('untouched.yaml');
    copyFileSync(SAMPLE_JOB, job);
    const { code, out, err } = command.run(['fit', job], { input: '0.5\n\n0.4\n0.4\n' });
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain('--depth');
    expect(err).toContain('--gap');
    expect(readFileSync(job)).toEqual(readFileSync(SAMPLE_JOB));
  });

  it('--json has the keys scripts rely on', () => {
    const job = room.path('json.yaml');
    copyFileSync(SAMPLE_JOB, job);
    const { code, out, err } = command.run([
      'fit',
      job,
      '--depth',
      '0.72',
      '--gap-bass',
      '0.18',
      '--gap-treble',
      '0.05',
      '--json',
    ]);
    expect(code, err).toBe(0);
    const { fit, format } = JSON.parse(out) as { format: number; fit: Record<string, unknown> };
    expect(format).toBe(1);
    expect(Object.keys(fit).slice(0, 3)).toEqual(['reached', 'left', 'leftUncertainty']);
    for (const key of ['next', 'done', 'surprise']) expect(fit).toHaveProperty(key);
    expect(fit.done).toBe(false);
  });
});
