import type { Metafile } from 'esbuild';

export function benchPageText(licences: string): Promise<{ readonly page: string; readonly metafile: Metafile }>;
