import { between, type Crowns, handSign, type JobValues, type Sides, sidesOf } from './neck.ts';

/** One string's underside in plan, neck frame: where it leaves the nut and where it meets its saddle seat. */
export interface StringPlan {
  readonly t: number;
  readonly yNut: number;
  readonly ySaddle: number;
  /** s of the saddle seat: scale length and compensation. */
  readonly sSaddle: number;
}

export function stringPlans(job: JobValues): StringPlan[] {
  const { count, spreadAtNut, spreadAtSaddle, compensation } = job.strings;
  const hand = handSign(job);
  return Array.from({ length: count }, (_, i) => {
    const t = i / (count - 1);
    const more = typeof compensation === 'number' ? compensation : (compensation[i] ?? 0);
    return {
      t,
      yNut: hand * (t - 0.5) * spreadAtNut,
      ySaddle: hand * (t - 0.5) * spreadAtSaddle,
      sSaddle: job.scale.length + more,
    };
  });
}

/** y of the string over s: its plan is a straight line. */
export function yAlong(plan: StringPlan, s: number): number {
  return plan.yNut + ((plan.ySaddle - plan.yNut) * s) / plan.sSaddle;
}

/** Heights of all nut ends, from the two outer ones, or from the gap over the crown plane at the nut. */
export function nutHeights(crowns: Crowns, plans: readonly StringPlan[], outer: Sides): number[] {
  const first = plans[0];
  const last = plans[plans.length - 1];
  if (first === undefined || last === undefined) return [];
  const surface = (plan: StringPlan): number => crowns.plane(0) - crowns.sag(0, plan.yNut);
  const over: Sides = { bass: outer.bass - surface(first), treble: outer.treble - surface(last) };
  return plans.map((plan) => surface(plan) + between(over, plan.t));
}

/** Heights of all seats from the outer two, following the bridge's own radius where one is given. */
export function seatHeights(job: JobValues, plans: readonly StringPlan[], outer: Sides): number[] {
  const R = job.bridge.radius;
  const sag = (y: number): number => (R === undefined ? 0 : (y * y) / (R + Math.sqrt(R * R - y * y)));
  const edge = sag(plans[0]?.ySaddle ?? 0);
  return plans.map((plan) => between(outer, plan.t) + edge - sag(plan.ySaddle));
}

export function readingOf(reading: number | Sides | undefined): Sides | undefined {
  return reading === undefined ? undefined : sidesOf(reading);
}
