/** Options of a command by name, as the entry has parsed them. */
export type Values = Readonly<Record<string, string | boolean | undefined>>;
