import { openStudy } from '@striderule/store';
import { openScenario } from './engine/study/scenario.ts';
import { stairPlan } from './engine/study/stair-plan.ts';
import { LOG, LOG_WIDTH } from './engine/walk/walk-log.ts';
const { input } = await openStudy('/work/wt/e/examples/tern');
for (const [task, begins] of [['stair-up','free'],['stair-down','stance']] as const) for (const control of ['clock','study'] as const) for (const thigh of ['prescribed','led'] as const) {
const sc:any={id:'s',title:'s',speed:0.47,strides:1,control,thigh,ground:'overground',stairs:{task,riser:0.18,tread:0.3,over:0.02}, ...(control==='study'&&{begins})};
if (control==='clock'&&thigh==='prescribed'){const p:any=stairPlan(input,sc); console.log(p.notes.at(-3), p.hip, p.terrain)}
let w:any; try{
w = openScenario(input, sc, 2.5e-4);
if('openBecause' in w){console.log(w.openBecause);continue}
w.stride();
const r=w.report();
console.log(task,control,thigh,r.strides.length,r.fell,r.audit.share);
const s=r.strides.at(-1)!;
if(s)console.log(JSON.stringify(s,(k,v)=>typeof v==='number'?+v.toPrecision(3):v));
}catch(e){console.log(task,control,thigh,String(e));continue}
const {log,way}=w.record();
let o='';
for(let i=0;i<log.rows;i+=100){const y=(p:number)=>log.table[i*LOG_WIDTH+p];
o+=[y(LOG.place).toFixed(2),'m',y(LOG.mode),'z',y(LOG.height).toFixed(3),'/',y(LOG.ownHeight).toFixed(3),'th',(y(LOG.thigh)*57.3).toFixed(0),'k',(y(LOG.knee)*57.3).toFixed(0),'a',(y(LOG.ankle)*57.3).toFixed(0),'up',y(LOG.up).toFixed(0),'oth',y(LOG.other).toFixed(0),'gd',y(LOG.guide).toFixed(0),'kM',y(LOG.kneeTorque).toFixed(0),'aM',y(LOG.ankleTorque).toFixed(0),'cop',y(LOG.pressure).toFixed(2),'low',y(LOG.lowest).toFixed(3),'hip',y(LOG.hipTorque).toFixed(0)].join(' ')+'\n';}
console.log(o);
}
