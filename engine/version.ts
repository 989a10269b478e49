/** Hash of the engine's sources, where they were compiled for the commands: see tools/compile.mjs. */
declare const ENGINE_SOURCES: string | undefined;

/** Version of the engine, and of which sources: part of every derived result, so that another engine makes the old results stale. */
export const ENGINE_VERSION = typeof ENGINE_SOURCES === 'undefined' ? '0.1.0' : `0.1.0+${ENGINE_SOURCES}`;
