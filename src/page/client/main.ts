import { ENGLISH } from '../words.ts';
import { startBench } from './bench.ts';

startBench(ENGLISH);
