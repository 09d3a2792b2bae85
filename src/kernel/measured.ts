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
  /** Path of the leaf that this one repeats: no input of its own, it follows that one. */
  readonly sameAs?: string | undefined;
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

/** Every measured leaf of a tree that repeats no other, in the order it stands there. */
export function inputsOf(tree: unknown, prefix = ''): Input[] {
  if (isMeasured(tree)) return tree.sameAs === undefined ? [{ path: prefix, measured: tree }] : [];
  if (typeof tree !== 'object' || tree === null) return [];
  return Object.entries(tree).flatMap(([key, child]) => inputsOf(child, prefix === '' ? key : `${prefix}.${key}`));
}

/** The tree with plain numbers; `override` gives another value to some paths. */
export function valuesOf<T>(tree: T, override: ReadonlyMap<string, number> = new Map(), prefix = ''): Values<T> {
  if (isMeasured(tree)) return (override.get(tree.sameAs ?? prefix) ?? tree.value) as Values<T>;
  if (typeof tree !== 'object' || tree === null) return tree as Values<T>;
  const at = (key: string) => (prefix === '' ? key : `${prefix}.${key}`);
  if (Array.isArray(tree)) return tree.map((child, index) => valuesOf(child, override, at(String(index)))) as Values<T>;
  return Object.fromEntries(Object.entries(tree).map(([key, child]) => [key, valuesOf(child, override, at(key))])) as Values<T>;
}

/**
 * `valuesOf` for many calls: the leaves at `paths` are given by number each time, in the order of `paths`; all else is read once.
 * Subtrees without such a leaf are shared between the answers.
 */
export function valuesBy<T>(tree: T, paths: readonly string[]): (numbers: readonly number[]) => Values<T> {
  const places = new Map(paths.map((path, index) => [path, index]));
  type Maker = (numbers: readonly number[]) => unknown;
  /** A constant, or how to make the node anew. */
  const makerOf = (node: unknown, prefix: string): { readonly fixed: unknown } | Maker => {
    if (isMeasured(node)) {
      const place = places.get(node.sameAs ?? prefix);
      return place === undefined ? { fixed: node.value } : (numbers) => numbers[place];
    }
    if (typeof node !== 'object' || node === null) return { fixed: node };
    const isList = Array.isArray(node);
    const made = Object.entries(node).map(
      ([key, child]) => [key, makerOf(child, prefix === '' ? key : `${prefix}.${key}`)] as const,
    );
    const fixed: Record<string, unknown> | unknown[] = isList ? [] : {};
    const moving: (readonly [string, Maker])[] = [];
    for (const [key, each] of made) {
      if (typeof each === 'function') moving.push([key, each]);
      (fixed as Record<string, unknown>)[key] = typeof each === 'function' ? undefined : each.fixed;
    }
    if (moving.length === 0) return { fixed };
    return (numbers) => {
      const out = (isList ? [...(fixed as unknown[])] : { ...fixed }) as Record<string, unknown>;
      for (const [key, maker] of moving) out[key] = maker(numbers);
      return out;
    };
  };
  const whole = makerOf(tree, '');
  return (numbers) => (typeof whole === 'function' ? whole(numbers) : whole.fixed) as Values<T>;
}
