import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Made, makeAll } from '../../src/pipeline.ts';
import { ROOT } from '../support/command.ts';
import { pictureOf, type Raster, rasterOfPng } from '../support/raster.ts';

// `RENEW_GOLDENS=1 npx vitest run tests/golden` writes the goldens anew; then look at `git diff` as a maker would, line by line.

/** Each sample job with its shop file; its goldens stand in a folder of the job's name. */
const SAMPLES = [{ name: 'reedling', shop: 'marshlight-shop' }] as const;

const isRenewing = process.env.RENEW_GOLDENS !== undefined && process.env.RENEW_GOLDENS !== '';
const isInCi = process.env.CI !== undefined && process.env.CI !== '';
/** What did not match is left beside the golden under this ending, to be compared by hand. */
const NEW = '.new';
/** Of a picture, so that it opens as one. */
const NEW_PICTURE = '.new.png';

/** A sheet as a picture: enough dots to see a figure that is out of its place, few enough to keep. */
const PICTURE_DPI = 75;
/** A pixel this many tones (of 256) off is another one; a different processor may round the rim of a letter a little otherwise. */
const SAME_TONE = 40;
/** Pixels of a page that may be other. A figure changed is some thirty, a line moved by half a millimetre some hundreds. */
const SAME_PIXELS = 12;

const isSheet = (name: string): boolean => /^guide(-\d+)?\.svg$/.test(name);
const pictureName = (name: string): string => name.replace(/svg$/, 'png');

function othersThan(golden: Raster, now: Raster): number {
  if (golden.width !== now.width || golden.height !== now.height) return Number.POSITIVE_INFINITY;
  let count = 0;
  for (let y = 0; y < now.height; y++)
    for (let x = 0; x < now.width; x++) if (Math.abs(golden.tone(x, y) - now.tone(x, y)) > SAME_TONE) count++;
  return count;
}

const sample = (name: string): { text: string; file: string } => {
  const file = `samples/${name}.yaml`;
  return { text: readFileSync(join(ROOT, file), 'utf8'), file };
};

describe('the goldens', () => {
  it('are never renewed where nobody looks at them', () => {
    expect(isRenewing && isInCi, 'RENEW_GOLDENS is set in CI').toBe(false);
  });
});

describe.each(SAMPLES)('$name, byte for byte', ({ name, shop }) => {
  const folder = join(ROOT, 'tests/golden', name);
  let made: Made;

  beforeAll(() => {
    const result = makeAll(sample(name), sample(shop));
    if (!result.ok) throw new Error(result.findings.map(({ message }) => message).join('; '));
    made = result.value;
    if (!isRenewing || isInCi) return;
    rmSync(folder, { recursive: true, force: true });
    mkdirSync(folder, { recursive: true });
    for (const artifact of made.artifacts) {
      writeFileSync(join(folder, artifact.name), artifact.text);
      if (isSheet(artifact.name)) writeFileSync(join(folder, pictureName(artifact.name)), pictureOf(artifact.text, PICTURE_DPI));
    }
  });

  it('has a golden for every file that is made, and a file for every golden', () => {
    const texts = made.artifacts.map((artifact) => artifact.name);
    const names = [...texts, ...texts.filter(isSheet).map(pictureName)].sort();
    expect(names.length).toBeGreaterThanOrEqual(6);
    expect(existsSync(folder), `${folder} is missing`).toBe(true);
    expect(
      readdirSync(folder)
        .filter((each) => !each.endsWith(NEW) && !each.endsWith(NEW_PICTURE))
        .sort(),
    ).toEqual(names);
  });

  it('is what is made now', () => {
    const differing: string[] = [];
    for (const artifact of made.artifacts) {
      const path = join(folder, artifact.name);
      const isSame = existsSync(path) && readFileSync(path).equals(Buffer.from(artifact.text, 'utf8'));
      if (isSame) {
        rmSync(path + NEW, { force: true });
        continue;
      }
      mkdirSync(folder, { recursive: true });
      writeFileSync(path + NEW, artifact.text);
      differing.push(artifact.name);
    }
    const hint = differing.map((each) => `diff tests/golden/${name}/${each} tests/golden/${name}/${each}${NEW}`).join('\n');
    expect(differing, `other than the golden:\n${hint}`).toEqual([]);
  });

  it('has sheets that look as they did', () => {
    const differing: string[] = [];
    for (const { name: sheet, text } of made.artifacts.filter((artifact) => isSheet(artifact.name))) {
      const path = join(folder, pictureName(sheet));
      const png = pictureOf(text, PICTURE_DPI);
      const others = existsSync(path) ? othersThan(rasterOfPng(readFileSync(path)), rasterOfPng(png)) : Number.POSITIVE_INFINITY;
      const beside = path.replace(/\.png$/, NEW_PICTURE);
      if (others <= SAME_PIXELS) {
        rmSync(beside, { force: true });
        continue;
      }
      writeFileSync(beside, png);
      differing.push(
        `${pictureName(sheet)}: ${others} pixels are other; look at tests/golden/${name}/${pictureName(sheet).replace(/\.png$/, NEW_PICTURE)}`,
      );
    }
    expect(differing).toEqual([]);
  });

  it('has pictures in which one changed figure is seen', () => {
    const sheet = made.artifacts.find((artifact) => artifact.name === 'guide.svg')?.text ?? '';
    const raster = (text: string): Raster => rasterOfPng(pictureOf(text, PICTURE_DPI));
    const places = [...sheet.matchAll(/<use href="#(letter-\d+)" x="[\d.]+" y="[\d.]+"\/>/g)];
    const [first, ...rest] = places.filter(({ 1: letter }) => sheet.includes(`id="${letter}"`));
    const other = rest.find(({ 1: letter }) => letter !== first?.[1]);
    if (first === undefined || other === undefined) throw new Error('no letters');
    // One letter of the sheet becomes another of the same size or so.
    const changed = sheet.replace(first[0], first[0].replace(`#${first[1]}"`, `#${other[1]}"`));
    expect(changed).not.toBe(sheet);
    expect(othersThan(raster(sheet), raster(sheet))).toBe(0);
    expect(othersThan(raster(sheet), raster(changed))).toBeGreaterThan(SAME_PIXELS);
  });
});
