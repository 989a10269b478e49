/** Version of the engine: part of every derived result, so that a new engine makes the old results stale. */
export const ENGINE_VERSION = '0.1.0';
