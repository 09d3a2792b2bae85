import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { DIMENSION_PATTERN } from '../../src/kernel/dimension.ts';
import { builtCommand, type Command, desk, inProcess, spawned } from '../support/command.ts';

// Help, completion and man page come from the same definitions; what the three say is held to the help here.

let command: Command;
const room = desk();
let names: string[];
/** The options of each command, as its help tells them. */
const options = new Map<string, string[]>();
beforeAll(async () => {
  command = builtCommand();
  const { out } = await inProcess(['--help']);
  names = [...out.matchAll(/^ {2}([a-z]+)(?: \[| <| {2,})/gm)].map(([, name]) => name ?? '').filter((name) => name !== 'help');
  for (const name of names) {
    const help = (await inProcess([name, '--help'])).out;
    options.set(
      name,
      [...help.matchAll(/^ {2}(?:-h, )?(--[a-z-]+)/gm)].map(([, option]) => option ?? ''),
    );
  }
  expect(names.length).toBeGreaterThanOrEqual(12);
  writeFileSync(room.path('completion.bash'), command.run(['completion', 'bash']).out);
});
afterAll(() => {
  room.remove();
});

/** What bash offers for the last of these words. */
function offered(...words: string[]): string[] {
  const lines = [
    `source '${room.path('completion.bash')}'`,
    `COMP_WORDS=(${words.map((word) => `'${word}'`).join(' ')}); COMP_CWORD=${words.length - 1}`,
    '_pocketpitch',
    `printf '%s\\n' "$\{COMPREPLY[@]}"`,
  ];
  const { code, out, err } = spawned('bash', ['-c', lines.join('\n')], { cwd: room.folder });
  expect({ code, err }).toEqual({ code: 0, err: '' });
  return out.split('\n').filter((word) => word !== '');
}

describe('completion', () => {
  it('in bash offers every command, its options, and the words that an option takes', () => {
    expect(offered('pocketpitch', '')).toEqual(expect.arrayContaining([...names, 'help', '--version']));
    expect(offered('pocketpitch', 'rou')).toEqual(['route']);
    for (const name of names) expect(offered('pocketpitch', name, '--').sort()).toEqual(options.get(name)?.sort());
    expect(offered('pocketpitch', 'prove', 'x.nc', '--as', '')).toEqual(['floor', 'rim', 'air', 'trace']);
    expect(offered('pocketpitch', 'guide', 'x.yaml', '--only', 'm')).toEqual(['map']);
    expect(offered('pocketpitch', 'schema', '')).toEqual(['job', 'shop']);
    expect(offered('pocketpitch', 'help', 'pro')).toEqual(['prove']);
  });

  it('in bash offers files where a file is meant', () => {
    writeFileSync(room.path('my job.yaml'), '');
    expect(offered('pocketpitch', 'solve', 'my')).toEqual(['my job.yaml']);
    expect(offered('pocketpitch', 'guide', 'x', '--out', 'my')).toEqual(['my job.yaml']);
  });

  it.each(['zsh', 'fish'])('for %s names every command and option with its words', (shell) => {
    const { code, out } = command.run(['completion', shell]);
    expect(code).toBe(0);
    for (const name of names) {
      expect(out).toMatch(shell === 'fish' ? new RegExp(`-a ${name} -d '`) : new RegExp(`^    '${name}:`, 'm'));
      for (const option of options.get(name) ?? [])
        if (option !== '--help')
          expect(out).toMatch(
            shell === 'fish'
              ? new RegExp(`__fish_seen_subcommand_from ${name}' -l ${option.slice(2)} -d`)
              : new RegExp(`^    ${name}\\) .*'${option}\\[`, 'm'),
          );
    }
  });
});

describe('the man page', () => {
  it('is built, and tells every command, option, example and exit code', async () => {
    const page = readFileSync(join(command.entry, '../pocketpitch.1'), 'utf8');
    expect(page).toBe(command.run(['manual']).out);
    expect(page).toMatch(/^\.TH POCKETPITCH 1 /);
    for (const name of names) {
      const part = new RegExp(`\\n\\.SS ${name}\\n([\\s\\S]*?)(?=\\n\\.S[SH] )`).exec(page)?.[1] ?? '';
      for (const option of options.get(name) ?? [])
        if (option !== '--help') expect(part, name).toContain(`\\fB${option.replace(/-/g, '\\-')}\\fR`);
      const example = /\nExample: (.*)/.exec((await inProcess([name, '--help'])).out)?.[1] ?? 'none';
      expect(part).toContain(example.replace(/-/g, '\\-').replace(/±/g, '\\[+-]'));
    }
    for (const code of [0, 1, 2, 3, 4]) expect(page).toContain(`\n.B ${code}\n`);
    // A line that begins with a point or an apostrophe would be a request.
    for (const line of page.split('\n')) if (/^['.]/.test(line)) expect(line).toMatch(/^\.(TH|SH|SS|TP|PP|B|I|nf|fi)\b/);
  });
});

describe('the schemas', () => {
  it('are built, and what the command writes', () => {
    for (const kind of ['job', 'shop']) {
      const written = readFileSync(join(command.entry, `../${kind}.schema.json`), 'utf8');
      expect(command.run(['schema', kind]).out).toBe(written);
      expect(JSON.parse(written)).toMatchObject({ type: 'object', additionalProperties: false });
    }
  });

  it('hold a length to the pattern that the program reads by', () => {
    const written = readFileSync(join(command.entry, '../job.schema.json'), 'utf8');
    expect(written).toContain(JSON.stringify(DIMENSION_PATTERN));
  });
});
