import { openStudy } from '@striderule/store';
import { openScenario } from './engine/study/scenario.ts';
import { LOG, LOG_WIDTH } from './engine/walk/walk-log.ts';
const { input } = await openStudy('/work/wt/e/examples/tern');
const sc:any={...input.scenarios!.find(s=>s.id==='chair')!, ...(process.argv[2]?JSON.parse(process.argv[2]):{})};
const w:any = openScenario(input, sc, 2.5e-4);
if('openBecause' in w){console.log(w.openBecause);process.exit()}
w.stride();
const r=w.report();
console.log(r.strides.length,r.fell,r.audit.share,r.passed.map((p:any)=>p.state+' '+p.time.toFixed(2)).join(', '));
const {log,way}=w.record();
let o='';
for(let i=0;i<log.rows;i+=200){const y=(p:number)=>log.table[i*LOG_WIDTH+p];
o+=[(i/1000).toFixed(1),y(LOG.place).toFixed(2),'m',y(LOG.mode),'x',way[i].toFixed(2),'z',y(LOG.height).toFixed(3),'/',y(LOG.ownHeight).toFixed(3),'th',(y(LOG.thigh)*57.3).toFixed(0),(y(LOG.ownThigh)*57.3).toFixed(0),'k',(y(LOG.knee)*57.3).toFixed(0),'a',(y(LOG.ankle)*57.3).toFixed(0),'up',y(LOG.up).toFixed(0),'fw',y(LOG.forward).toFixed(0),'oth',y(LOG.other).toFixed(0),'gd',y(LOG.guide).toFixed(0),'kM',y(LOG.kneeTorque).toFixed(0),'aM',y(LOG.ankleTorque).toFixed(0),'cop',y(LOG.pressure).toFixed(2),'low',y(LOG.lowest).toFixed(3),'hip',y(LOG.hipTorque).toFixed(0)].join(' ')+'\n';}
console.log(o);
