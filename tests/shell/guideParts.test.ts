import { afterAll, describe, expect, it } from 'vitest';
import { desk, inProcess, SAMPLE_JOB, SAMPLE_SHOP } from '../support/command.ts';

const room = desk();
afterAll(() => room.remove());

describe('guide', () => {
  it('writes one part alone, numbered by itself, and all of them as one PDF', async () => {
    for (const [part, word] of [
      ['map', 'MOUTH'],
      ['strip', 'Depth lines'],
      ['gauge', 'Slope gauge'],
      ['rails', 'Rails for a hand router'],
      ['card', 'Bench card'],
    ]) {
      const out = room.path(`${part}.svg`);
      const ran = await inProcess(['guide', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--only', part as string, '--out', out]);
      expect(ran.code, ran.err).toBe(0);
      expect(room.text(`${part}.svg`)).toContain(`>${word}`);
      expect(room.text(`${part}.svg`)).toContain('page 1 of 1<');
    }
    const pdf = room.path('all.pdf');
    for (let i = 0; i < 2; i++)
      expect((await inProcess(['guide', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--out', pdf])).code).toBe(0);
    expect(room.text('all.pdf')).toMatch(/^%PDF-/);
  });

  it("knows its parts and its kinds of file, and leaves a stranger's PDF alone", async () => {
    const part = await inProcess(['guide', SAMPLE_JOB, '--only', 'poster', '--out', room.path('p.svg')]);
    expect(part).toMatchObject({ code: 2 });
    expect(part.err).toContain('map, strip, gauge, rails, card');
    const kind = await inProcess(['guide', SAMPLE_JOB, '--out', room.path('p.png')]);
    expect(kind).toMatchObject({ code: 2 });
    const { writeFileSync } = await import('node:fs');
    writeFileSync(room.path('theirs.pdf'), '%PDF-1.4\n%\n1 0 obj\n<< /Kind /Letter >>\n');
    expect((await inProcess(['guide', SAMPLE_JOB, '--out', room.path('theirs.pdf')])).code).toBe(2);
    expect(room.text('theirs.pdf')).toContain('Letter');
  });

  it('warns of pages that an earlier guide left, by their names, and of no others', async () => {
    const out = room.path('pages.svg');
    expect((await inProcess(['guide', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--out', out])).err).not.toContain('left from');
    const ran = await inProcess(['guide', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--only', 'map', '--out', out]);
    const said = [...ran.err.matchAll(/^warning: (.*) is left from an earlier run/gm)].map(([, path]) => path);
    expect(said).toEqual([2, 3, 4, 5].map((page) => room.path(`pages-${page}.svg`)));
    expect(ran.code).toBe(0);
  });

  it('is written whole by make, rails included, and the same by both commands', async () => {
    const ran = await inProcess(['make', SAMPLE_JOB, '--shop', SAMPLE_SHOP, '--into', room.path('made')]);
    expect(ran.code, ran.err).toBe(0);
    expect(room.files().filter((name) => name.startsWith('made'))).toEqual(
      [
        'air.nc',
        'floor.nc',
        'guide-2.svg',
        'guide-3.svg',
        'guide-4.svg',
        'guide-5.svg',
        'guide.pdf',
        'guide.svg',
        'preview.html',
        'rails-left.stl',
        'rails-right.stl',
        'record.json',
        'report.json',
        'report.txt',
        'trace.nc',
      ].map((name) => `made/${name}`),
    );
    expect(room.text('made', 'guide.pdf')).toBe(room.text('all.pdf'));
    expect(room.text('made', 'rails-left.stl')).toMatch(/^solid pocketpitch rail left job [0-9a-f]{12}\n/);
  });
});
