/**
 * How long the proof takes, as ratios: `npx tsx tests/bench/proof.bench.ts`. Not part of the tests: a shared machine's seconds say nothing.
 * Work is counted in the process's own CPU time, which a busy machine stretches least.
 */
import Toolpath from 'gcode-toolpath';
import Module, { type Manifold as Solid } from 'manifold-3d';
import { movesOf } from '../../src/proof/motionRules.ts';
import { proveProgram } from '../../src/proof/prove.ts';
import { readStrictly } from '../../src/proof/strictReader.ts';
import { CASE, type Case, plainProgram, textOf, workOf } from '../unit/proofProgram.ts';

const SEGMENTS = 32;

function cpuMs(work: () => void): number {
  const before = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}

/** The median of some runs after some that do not count. */
function median(work: () => void, runs = 9, warm = 4): number {
  for (let i = 0; i < warm; i++) work();
  const times = Array.from({ length: runs }, () => cpuMs(work)).sort((a, b) => a - b);
  return times[Math.floor(runs / 2)] as number;
}

function prove(text: string, given: Case = CASE): void {
  const { faults } = proveProgram(text, workOf(given), 'floor');
  if (faults.length > 0) throw new Error(`not proved: ${faults[0]?.rule} ${faults[0]?.line} ${faults[0]?.message}`);
}

function readByLibrary(text: string): void {
  const Reader = typeof Toolpath === 'function' ? Toolpath : (Toolpath as { readonly default: typeof Toolpath }).default;
  const reader = new Reader({ addLine: () => {}, addArcCurve: () => {} });
  for (const line of text.split('\n')) reader.loadFromStringSync(line);
}

/** The same removal by a general boolean modeller, the cutter a polygon of 32 corners. */
async function subtracter(): Promise<(text: string) => void> {
  const modeller = await Module();
  modeller.setup();
  const { Manifold } = modeller;
  const disc = (x: number, y: number, z: number): [number, number, number][] =>
    Array.from({ length: SEGMENTS }, (_, k) => {
      const angle = (2 * Math.PI * k) / SEGMENTS;
      return [x + 3 * Math.cos(angle), y + 3 * Math.sin(angle), z];
    });
  return (text) => {
    const tools: Solid[] = [];
    for (const { from, to } of movesOf(readStrictly(text).steps)) {
      if (Math.min(from.z, to.z) >= 0 || Number.isNaN(from.x + to.x + from.z)) continue;
      tools.push(
        Manifold.hull([
          ...disc(from.x, from.y, from.z),
          ...disc(to.x, to.y, to.z),
          ...disc(from.x, from.y, 30),
          ...disc(to.x, to.y, 30),
        ]),
      );
    }
    const left = Manifold.difference([Manifold.cube([72, 58, 3]).translate([0, -29, -3]), ...tools]);
    if (!(left.volume() > 0)) throw new Error('nothing is left');
    for (const solid of [...tools, left]) solid.delete();
  };
}

const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

const ordinary = textOf(plainProgram());
const cold = cpuMs(() => prove(ordinary));
const warm = median(() => prove(ordinary));
const library = median(() => readByLibrary(ordinary));
const subtract = await subtracter();
const modelled = median(() => subtract(ordinary), 3, 1);
say(`an ordinary program, ${ordinary.split('\n').length} lines: ${warm.toFixed(0)} ms of work warm, ${cold.toFixed(0)} cold`);
say(`  against the library merely reading the same text: ${(warm / library).toFixed(1)} times as long`);
say(`  against a boolean modeller subtracting the same sweeps: ${(modelled / warm).toFixed(1)} times faster (aim: 20)`);

const parts = [150, 300, 600].map((split) => {
  const text = textOf(plainProgram(CASE, { split }));
  const ms = median(() => prove(text), 3, 1);
  return { lines: text.split('\n').length, ms };
});
const [first, , last] = parts as [{ lines: number; ms: number }, unknown, { lines: number; ms: number }];
for (const { lines, ms } of parts)
  say(`  cut into ${lines} lines: ${ms.toFixed(0)} ms, ${((1000 * ms) / lines).toFixed(1)} µs a line`);
const growth = last.ms / first.ms / (last.lines / first.lines);
say(`  time grows ${growth.toFixed(2)} times as fast as the lines (aim: 1 or less)`);
say(`  memory of the process: ${Math.round(process.memoryUsage.rss() / 1e6)} MB`);
