import { CASE, plainProgram } from '../unit/proofProgram.ts';
const SMALL = { ...CASE, length: 30, width: 20, widthAtMouth: 20, cornerRadius: 0, passDepth: 0.15 };
const a=plainProgram(SMALL), b=plainProgram({...SMALL,inch:true});
a.forEach((l,i)=>console.log(i+1,l.padEnd(50),b[i]));
