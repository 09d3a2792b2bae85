import { PROGRAM_STEP_INCH_MM, PROGRAM_STEP_MM } from '../kernel/tolerances.ts';
import type { Unit } from '../kernel/units.ts';

/** The lengths that a program's numbers can say: 3 decimals in mm, 4 in inch (program.md, "Dialect"). */
export interface Grid {
  readonly unit: Unit;
  /** mm between neighbours. */
  readonly step: number;
  readonly decimals: 3 | 4;
}

/** In steps: a number this close to a grid value is that value, so that 25.95 is not rounded on to 25.951 by binary arithmetic. */
const SAME_STEPS = 1e-6;

export function gridOf(unit: Unit): Grid {
  return unit === 'mm' ? { unit, step: PROGRAM_STEP_MM, decimals: 3 } : { unit, step: PROGRAM_STEP_INCH_MM, decimals: 4 };
}

export function gridUp(grid: Grid, mm: number): number {
  return Math.ceil(mm / grid.step - SAME_STEPS) * grid.step;
}

export function gridDown(grid: Grid, mm: number): number {
  return Math.floor(mm / grid.step + SAME_STEPS) * grid.step;
}

export function gridNear(grid: Grid, mm: number): number {
  return Math.round(mm / grid.step) * grid.step;
}

/** A length on the grid as the program's text: plain decimals in the program's unit, never a minus zero. */
export function gridText(grid: Grid, mm: number): string {
  const steps = Math.round(mm / grid.step);
  const text = (steps / 10 ** grid.decimals).toFixed(grid.decimals);
  return steps === 0 ? (0).toFixed(grid.decimals) : text;
}

/** A feed (mm/min) as the program's text, rounded down: whole mm or tenths of an inch a minute, more digits only where it is tiny. */
export function feedText(grid: Grid, mmPerMinute: number): string {
  const value = grid.unit === 'mm' ? mmPerMinute : mmPerMinute / 25.4;
  const decimals = value >= 10 ? (grid.unit === 'mm' ? 0 : 1) : 4;
  return (Math.floor(value * 10 ** decimals + SAME_STEPS) / 10 ** decimals).toFixed(decimals);
}
