import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import type { FitOptions } from '../../src/shell/fitAction.ts';
import { askFit, missingOf } from '../../src/shell/fitAsk.ts';
import { type Asker, askerOn, progressOn } from '../../src/shell/terminal.ts';

/** Answers in order; then the input ends. */
function answering(answers: readonly string[]): Asker & { readonly asked: string[] } {
  const left = [...answers];
  const asked: string[] = [];
  return {
    asked,
    question: (text) => {
      asked.push(text);
      return Promise.resolve(left.shift() ?? null);
    },
    close: () => undefined,
  };
}

const NEW = (): boolean => false;

describe('a fit asked for at a terminal', () => {
  it('asks one by one for what is not given, and again where an answer is no length', async () => {
    const ask = answering(['half', '0.5 ± 0.03', '', '-1', '0.4', '0.35', '', 'dry fit']);
    const options = await askFit({}, 'mm', 'mouth', ask, NEW);
    expect(options).toEqual({ depth: '0.5 ± 0.03', gapBass: '0.4', gapTreble: '0.35', note: 'dry fit' });
    expect(ask.asked).toHaveLength(8);
    expect(ask.asked[1]).toContain("'half' is no length");
    expect(ask.asked[4]).toContain('less than nothing');
    expect(ask.asked[0]).toContain('mouth');
  });

  it('does not ask for what was given', async () => {
    const ask = answering(['0.5', '0.45', '']);
    const options = await askFit({ gap: '0.4', raised: '1' }, 'in', 'rear', ask, NEW);
    expect(options).toEqual({ gap: '0.4', raised: '1', depthBass: '0.5', depthTreble: '0.45' });
    expect(ask.asked[0]).toContain('rear wall');
    expect(ask.asked[0]).toMatch(/ in inches \(/);
  });

  it('gauged, it is asked for its depth alone', async () => {
    for (const gauged of [{ lowest: '0.1' }, { highest: '2.9' }]) {
      const ask = answering(['0.8', '', '']);
      expect(await askFit(gauged, 'mm', 'mouth', ask, NEW)).toEqual({ ...gauged, depth: '0.8' });
      expect(ask.asked.join(' ')).not.toMatch(/Gap|raised/);
    }
    expect(missingOf({ depth: '1', lowest: '0.1' })).toEqual([]);
    // No gap at all: a leaf, or else a rod.
    expect(await askFit({}, 'mm', 'mouth', answering(['0.8', '', '', '0.1', '']), NEW)).toEqual({ depth: '0.8', lowest: '0.1' });
    const rod = answering(['0.8', '', '', '', '2.9', 'up']);
    expect(await askFit({}, 'mm', 'rear', rod, NEW)).toEqual({ depth: '0.8', highest: '2.9', note: 'up' });
  });

  it('an input that ends tells so, and nothing is made up', async () => {
    await expect(askFit({}, 'mm', 'mouth', answering(['0.5']), NEW)).rejects.toThrow('not told to its end');
  });

  it('readings like the last ones are taken with a note of their own, and else nothing is noted', async () => {
    const told = ['0.5', '', '0.4', '0.35', '1'];
    const isLast = ({ note }: FitOptions): boolean => note === undefined || note === 'dry fit';
    const ask = answering([...told, 'read again']);
    expect(await askFit({}, 'mm', 'mouth', ask, isLast)).toMatchObject({ depth: '0.5', raised: '1', note: 'read again' });
    expect(ask.asked[5]).toMatch(/^These are the very readings of the last fit\. .*give a note/);
    await expect(askFit({}, 'mm', 'mouth', answering([...told, '']), isLast)).rejects.toThrow('noted already');
    // The note of the last fit is none of its own.
    const given = answering([...told, 'second time']);
    expect(await askFit({ note: 'dry fit' }, 'mm', 'mouth', given, isLast)).toMatchObject({ note: 'second time' });
  });

  it('says what is missing', () => {
    expect(missingOf({})).toHaveLength(2);
    expect(missingOf({ depth: '1', gapBass: '1' })).toEqual([]);
  });

  it('lines typed ahead wait for their question, and the end is an end', async () => {
    const input = new PassThrough();
    const output = new PassThrough();
    const asker = askerOn(input, output);
    input.end('one\ntwo\n');
    expect(await asker.question('first? ')).toBe('one');
    expect(await asker.question('second? ')).toBe('two');
    expect(await asker.question('third? ')).toBeNull();
    expect(String(output.read())).toContain('first? ');
    asker.close();
  });
});

describe('progress', () => {
  it('is a plain line each quarter without a terminal, and a bar that clears itself on one', () => {
    const show = (isTerminal: boolean): string => {
      let text = '';
      const progress = progressOn(
        (more) => {
          text += more;
        },
        isTerminal,
        'sampling',
      );
      for (let i = 1; i <= 1000; i++) progress.at(i, 1000);
      progress.end();
      return text;
    };
    expect(show(false)).toBe('sampling: 250 of 1000\nsampling: 500 of 1000\nsampling: 750 of 1000\nsampling: 1000 of 1000\n');
    const bar = show(true);
    expect(bar.endsWith('\r\u001b[K')).toBe(true);
    expect(bar).toContain('50 %');
    expect(bar).not.toContain('\n');
  });
});
