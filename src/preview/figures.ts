import { fromMm, type Unit } from '../kernel/units.ts';

/** How the page writes numbers, on paper and while it runs. */

function plainZero(text: string): string {
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
}

/** A length without its unit: two decimals of a millimetre, three of an inch, as gauges at the bench show them. */
export function bare(mm: number, units: Unit, more = 0): string {
  return plainZero(fromMm(mm, units).toFixed((units === 'mm' ? 2 : 3) + more));
}

export function long(mm: number, units: Unit): string {
  return `${bare(mm, units)} ${units}`;
}

/** How the time before the cut is called: once wood is off, the floor as found is not the floor now. */
export function beforeCut(isFiled: boolean): string {
  return isFiled ? 'as found' : 'now';
}

/** A place in the pocket: one decimal of a millimetre, two of an inch. */
export function place(mm: number, units: Unit): string {
  return `${bare(mm, units, -1)} ${units}`;
}

/** m:ss; a time that is under way is rounded to whole seconds. */
export function clock(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

/** The 1, 2 or 5 times a power of ten that is nearest above `least`. */
export function niceAbove(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  const found = [1, 2, 5, 10].find((k) => k * power >= least * (1 - 1e-9)) ?? 10;
  return found * power;
}
