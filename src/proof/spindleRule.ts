import { apart } from '../kernel/dimension.ts';
import type { Fault } from './faults.ts';
import { isBelow } from './motionRules.ts';
import type { Setting } from './setting.ts';
import type { Step } from './strictReader.ts';

/** S may be this far from the shop's speed. */
const SPEED_SHARE = 0.1;

const SAID: Readonly<Record<string, string>> = { dwell: 'G4', stop: 'M0', speed: 'S', on: 'M3', off: 'M5' };

/**
 * `spindle`: M3 with S within a tenth of the shop's, then G4 of at least the warm-up and M0, before going below the clear height;
 * G4, M0, S, M3, M5 only at or above it; off at the end. Before the first motion the cutter is above everything: a program starts there.
 */
export function spindleRule(steps: readonly Step[], setting: Setting): Fault[] {
  const { speed: wanted, warmUp } = setting.shop.spindle;
  const faults: Fault[] = [];
  let on = false;
  let speed: number | undefined;
  let state: 'cold' | 'warm' | 'ready' = 'cold';
  let told = false;
  let z = Number.POSITIVE_INFINITY;
  for (const step of steps) {
    const { line } = step;
    const add = (message: string): void => {
      faults.push({ rule: 'spindle', line, message });
    };
    if (SAID[step.kind] !== undefined && isBelow(z, setting.clear)) {
      const [found, limit] = apart(z, setting.clear);
      add(`${SAID[step.kind]} at z ${found}: only at or above the clear height ${limit}`);
    }
    if (step.kind === 'speed') {
      speed = step.speed;
      if (Math.abs(speed - wanted) > SPEED_SHARE * wanted + 1e-9)
        add(`S${speed} is not within a tenth of the shop's ${Number(wanted.toFixed(1))} rev/min`);
    } else if (step.kind === 'on') {
      if (speed === undefined) add('M3 without a speed');
      if (!on) state = 'cold';
      on = true;
      told = false;
    } else if (step.kind === 'off') {
      on = false;
      state = 'cold';
      told = false;
    } else if (step.kind === 'dwell') {
      if (on && state === 'cold' && step.seconds >= warmUp - 1e-9) state = 'warm';
    } else if (step.kind === 'stop') {
      if (state === 'warm') state = 'ready';
    } else if (step.kind === 'move') {
      z = Number.isNaN(step.to.z) ? z : step.to.z;
      if (isBelow(z, setting.clear) && state !== 'ready' && !told) {
        told = true;
        if (!on) add('goes below the clear height with the spindle off');
        else if (state === 'cold') add(`goes below the clear height without G4 of at least ${warmUp} s after M3`);
        else add('goes below the clear height without a stop (M0) after the warm-up');
      }
    } else if (step.kind === 'finish' && on) add('the spindle still turns at the end');
  }
  return faults;
}

/** In the air and around the box nothing turns: no M3, S or G4 at all. */
export function spindleOffRule(steps: readonly Step[]): Fault[] {
  return steps
    .filter((step) => step.kind === 'on' || step.kind === 'speed' || step.kind === 'dwell')
    .map(({ kind, line }) => ({
      rule: 'spindle',
      line,
      message: `${SAID[kind]} in a program that runs with the spindle off throughout`,
    }));
}
