import type { Plugin as EsbuildPlugin } from 'esbuild';
import type { Plugin as VitePlugin } from 'vitest/config';

export function previewClientForEsbuild(): EsbuildPlugin;
export function previewClientForVite(): VitePlugin;
