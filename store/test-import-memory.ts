// Run by tests in a process of its own, so that memory and time are the import's alone:
//   node --import tsx store/test-import-memory.ts <study> <csv> <recipe>
import { importRecording } from './import-recording.ts';

const [folder, csv, recipe] = process.argv.slice(2) as [string, string, string];
const before = process.memoryUsage.rss();
let peak = before;
const start = performance.now();
const cpu = process.cpuUsage();
const made = await importRecording({
  folder,
  csv,
  recipe,
  id: 'large',
  onProgress: () => {
    peak = Math.max(peak, process.memoryUsage.rss());
  },
});
const used = process.cpuUsage(cpu);
console.log(
  JSON.stringify({
    strides: made.count,
    knee: made.stride.joints.knee?.angle,
    before,
    peak,
    seconds: (performance.now() - start) / 1000,
    cpuSeconds: (used.user + used.system) / 1e6,
  }),
);
