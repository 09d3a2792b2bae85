export type Unit = 'mm' | 'in';

/** 1 in = 25.4 mm exactly (Addendum to NBS Circular 572, 22 Jan 1960). */
export const MM_PER_INCH = 25.4;

export function toMm(value: number, unit: Unit): number {
  return unit === 'mm' ? value : value * MM_PER_INCH;
}

export function fromMm(mm: number, unit: Unit): number {
  return unit === 'mm' ? mm : mm / MM_PER_INCH;
}

export function toRadians(degrees: number): number {
  return (degrees * Math.PI) / 180;
}

export function toDegrees(radians: number): number {
  return (radians * 180) / Math.PI;
}
