import { proveProgram } from '../../src/proof/prove.ts';
import { CASE, plainProgram, textOf, workOf } from '../unit/proofProgram.ts';
for (const [n,c,o] of [['plain',{},{}],['inch',{inch:true},{}],['roll',{roll:0.5,passWidth:1.5},{}],['steep',{pitch:2.8,passWidth:1.8},{}],['split200',{},{split:200}],['split2000',{},{split:1000}]] as any) {
  const g={...CASE,...c}; const t=textOf(plainProgram(g,o)); const w=workOf(g);
  for (let i=0;i<(t.length>1e6?1:4);i++){ const a=performance.now(); const v=proveProgram(t,w,'floor'); console.log(n,t.split('\n').length,(performance.now()-a).toFixed(0),'ms',v.proved,JSON.stringify(v.figures),v.faults.slice(0,3), Math.round(process.memoryUsage.rss()/1e6)); }
}
