export type Rgb = readonly [number, number, number];

export interface Palette {
  readonly ink: string;
  readonly soft: string;
  readonly rule: string;
  readonly paper: string;
  readonly wash: string;
  readonly mark: string;
  readonly fault: string;
  readonly shallow: Rgb;
  readonly deep: Rgb;
}

const LIGHT: Pick<Palette, 'shallow' | 'deep'> = { shallow: [243, 246, 247], deep: [98, 118, 131] };
const DARK: Pick<Palette, 'shallow' | 'deep'> = { shallow: [86, 108, 123], deep: [20, 33, 43] };

/** The colours in force: the style's own, so that theme and print need not be known here, and the shades of depth. */
export function paletteNow(printing: boolean): Palette {
  const style = getComputedStyle(document.documentElement);
  const of = (name: string): string => style.getPropertyValue(name).trim();
  const dark = !printing && matchMedia('(prefers-color-scheme: dark)').matches;
  return {
    ink: of('--ink'),
    soft: of('--soft'),
    rule: of('--rule'),
    paper: of('--paper'),
    wash: of('--wash'),
    mark: of('--mark'),
    fault: of('--fault'),
    ...(dark ? DARK : LIGHT),
  };
}

/** The shade of a depth, 0 the shallowest and 1 the deepest: deeper is darker in both themes, in one hue, so that grey tells as much. */
export function shade({ shallow, deep }: Palette, share: number): Rgb {
  const k = Math.max(0, Math.min(1, share));
  const mix = (i: 0 | 1 | 2): number => Math.round(shallow[i] + k * (deep[i] - shallow[i]));
  return [mix(0), mix(1), mix(2)];
}

export function css([r, g, b]: Rgb): string {
  return `rgb(${r} ${g} ${b})`;
}
