/**
 * A measured quantity. `value` and `bound` are in millimetres (or radians for an angle); `bound` is the half-width
 * of a rectangular distribution, so the standard uncertainty is bound / sqrt(3) (JCGM 100:2008, 4.3.7).
 * `stated` is false where the ± is the program's own assumption: the report lists those.
 */
export interface Measured {
  readonly kind: 'measured';
  readonly value: number;
  readonly bound: number;
  readonly stated: boolean;
}

/** One value for both sides is one input; a pair is two independent inputs. */
export type Reading = Measured | { readonly bass: Measured; readonly treble: Measured };

/** The same shape with every measured leaf replaced by its plain number. */
export type Values<T> = T extends Measured
  ? number
  : T extends readonly (infer U)[]
    ? readonly Values<U>[]
    : T extends object
      ? { readonly [K in keyof T]: Values<T[K]> }
      : T;

export interface Input {
  /** Dotted path as written in the job file, such as `asFound.lastFretGap.bass`. */
  readonly path: string;
  readonly measured: Measured;
}

export function measured(value: number, bound: number, stated: boolean): Measured {
  return { kind: 'measured', value, bound, stated };
}

function isMeasured(node: unknown): node is Measured {
  return typeof node === 'object' && node !== null && (node as { kind?: unknown }).kind === 'measured';
}

/** Every measured leaf of a tree, in the order it stands there. */
export function inputsOf(tree: unknown, prefix = ''): Input[] {
  if (isMeasured(tree)) return [{ path: prefix, measured: tree }];
  if (typeof tree !== 'object' || tree === null) return [];
  return Object.entries(tree).flatMap(([key, child]) => inputsOf(child, prefix === '' ? key : `${prefix}.${key}`));
}

/** The tree with plain numbers; `override` gives another value to some paths. */
export function valuesOf<T>(tree: T, override: ReadonlyMap<string, number> = new Map(), prefix = ''): Values<T> {
  if (isMeasured(tree)) return (override.get(prefix) ?? tree.value) as Values<T>;
  if (typeof tree !== 'object' || tree === null) return tree as Values<T>;
  const at = (key: string) => (prefix === '' ? key : `${prefix}.${key}`);
  if (Array.isArray(tree)) return tree.map((child, index) => valuesOf(child, override, at(String(index)))) as Values<T>;
  return Object.fromEntries(Object.entries(tree).map(([key, child]) => [key, valuesOf(child, override, at(key))])) as Values<T>;
}

/** A tree of plain numbers with the one at `path` replaced; all beside the path is shared with `values`, not copied. */
export function withValue<T>(values: T, path: string, value: number): T {
  const dot = path.indexOf('.');
  const key = dot < 0 ? path : path.slice(0, dot);
  const held = (values as Record<string, unknown>)[key];
  const next = dot < 0 ? value : withValue(held, path.slice(dot + 1), value);
  if (Array.isArray(values)) return values.map((each, index) => (String(index) === key ? next : each)) as T;
  return { ...values, [key]: next };
}
