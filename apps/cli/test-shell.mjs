// Runs commands one after another in one process, as a parent asks for them: what the engine costs to load is paid once. Words and folder
// come as messages, and go back with what was written.

import { command } from './command.mjs';

const written = { stdout: '', stderr: '' };
for (const name of ['stdout', 'stderr'])
  process[name].write = (text, encoding, done) => {
    written[name] += text;
    (done ?? encoding)?.();
    return true;
  };

process.on('message', async ({ args, cwd }) => {
  process.chdir(cwd);
  const code = await command(args);
  process.send({ code, ...written });
  written.stdout = '';
  written.stderr = '';
});
process.on('disconnect', () => process.exit());
