import type { PluginBuild } from 'esbuild';

/** Sets a build up to bundle what is ours and to leave packages where they are. */
export function ownSources(build: PluginBuild): void;
