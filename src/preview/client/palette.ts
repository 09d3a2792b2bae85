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

/** Black on white: what is printed need not be what is on the screen, and the style for paper holds only once printing has begun. */
const ON_PAPER: Palette = {
  ink: '#000000',
  soft: '#333333',
  rule: '#777777',
  paper: '#ffffff',
  wash: '#eeeeee',
  mark: '#000000',
  fault: '#000000',
  ...LIGHT,
};

/** The colours in force: on a screen the style's own, so that the theme need not be known here, and the shades of depth. */
export function paletteNow(printing: boolean): Palette {
  if (printing) return ON_PAPER;
  const style = getComputedStyle(document.documentElement);
  const of = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ink: of('--ink'),
    soft: of('--soft'),
    rule: of('--rule'),
    paper: of('--paper'),
    wash: of('--wash'),
    mark: of('--mark'),
    fault: of('--fault'),
    ...(matchMedia('(prefers-color-scheme: dark)').matches ? DARK : LIGHT),
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
