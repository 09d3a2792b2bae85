import { readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { faceOf } from './faceData.ts';

// Writes src/guide/face.json, the outlines the guide is lettered with, from the pinned font package: `npm run face`.
const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const font = (name: string): Uint8Array => readFileSync(join(root, 'node_modules/dejavu-fonts-ttf/ttf', name));
const face = faceOf(font('DejaVuSans.ttf'), font('DejaVuSans-Bold.ttf'));
writeFileSync(join(root, 'src/guide/face.json'), face);
