/** How the language server is started: `hoggin language-server`, which speaks over stdio. */

export interface Start {
  readonly command: string;
  readonly args: readonly string[];
}

const DEFAULT_COMMAND = "hoggin";

/** The setting may be left empty, begin with `~/`, or hold blanks at its ends. */
export function serverStart(setting: string | undefined, home: string): Start {
  const named = setting?.trim() || DEFAULT_COMMAND;
  const command = /^~[/\\]/.test(named) ? home + named.slice(1) : named;
  return { command, args: ["language-server"] };
}

/** What to tell a user whose command can't be started. */
export function notStarted(start: Start, reason: unknown): string {
  const why = reason instanceof Error ? reason.message : String(reason);
  return (
    `The command \`${start.command} ${start.args.join(" ")}\` did not start (${why}). ` +
    'Colours and snippets work without it. Install Hoggin ' +
    'or set `hoggin.command` to its full path. Output, Hoggin, says more.'
  );
}
