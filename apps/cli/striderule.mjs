#!/usr/bin/env node
// What a shell starts.

import { command } from './command.mjs';

// a reader that has seen enough (`| head`) closes the pipe: that is no fault
process.stdout.on('error', (error) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

process.exitCode = await command(process.argv.slice(2));
