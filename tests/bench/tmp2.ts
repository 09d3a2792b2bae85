import { proveProgram } from '../../src/proof/prove.ts';
import { readStrictly } from '../../src/proof/strictReader.ts';
import { compareWithLibrary } from '../../src/proof/libraryReader.ts';
import { movesOf } from '../../src/proof/motionRules.ts';
import { settingOf } from '../../src/proof/setting.ts';
import { wallsOf } from '../../src/proof/walls.ts';
import { removalRules } from '../../src/proof/removal.ts';
import { finishRule } from '../../src/proof/finish.ts';
import { wallsRule, floorRule } from '../../src/proof/placeRules.ts';
import { CASE, plainProgram, textOf, workOf } from '../unit/proofProgram.ts';
const sets: any[] = [['plain',{},{}],['inch',{inch:true},{}],['plain',{},{}],['steep',{pitch:2.8,passWidth:1.8},{}],['split',{},{split:600}]];
for (const [n,c,o] of sets) {
  const g={...CASE,...c}; const t=textOf(plainProgram(g,o)); const w=workOf(g);
  const out:string[]=[]; const time=<T>(name:string,f:()=>T):T=>{const a=performance.now(); const r=f(); out.push(name+' '+(performance.now()-a).toFixed(0)); return r;};
  const read=time('read',()=>readStrictly(t)); time('library',()=>compareWithLibrary(read));
  const s=settingOf(w,g.diameter,read); const walls=wallsOf(s.outline,s.clearBefore+2*s.radius); const m=movesOf(read.steps);
  time('walls',()=>wallsRule(m,s,walls)); time('floor',()=>floorRule(m,s)); time('removal',()=>removalRules(m,s,walls)); const f=time('finish',()=>finishRule(m,s,walls));
  const v=time('ALL',()=>proveProgram(t,w,'floor'));
  console.log(n,t.split('\n').length,out.join(' '),v.proved,Math.round(process.memoryUsage.rss()/1e6));
}
