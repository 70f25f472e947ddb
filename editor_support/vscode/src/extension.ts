/** The extension: starts the compiler's language server and restarts it on request. */

import { homedir } from "node:os";

import { commands, type ExtensionContext, window, workspace } from "vscode";
import { LanguageClient } from "vscode-languageclient/node";

import { notStarted, serverStart } from "./server";

const LANGUAGE = "hoggin";

/** It is silent while it starts: what went wrong is reported once, with what to do about it. */
class Client extends LanguageClient {
  starting = true;

  override error(message: string, data?: unknown, show?: boolean | "force"): void {
    super.error(message, data, this.starting ? false : show);
  }
}

let client: Client | undefined;
/** Starts and stops wait for each other, however fast they are asked for. */
let last: Promise<void> = Promise.resolve();

export function activate(context: ExtensionContext): Promise<void> {
  context.subscriptions.push(
    commands.registerCommand("hoggin.restart", restart),
    workspace.onDidChangeConfiguration((change) =>
      change.affectsConfiguration("hoggin.command") ? restart() : undefined,
    ),
    workspace.onDidGrantWorkspaceTrust(restart),
  );
  return restart();
}

export function deactivate(): Promise<void> {
  return inTurn(stop);
}

function restart(): Promise<void> {
  return inTurn(async () => {
    await stop();
    await start();
  });
}

function inTurn(step: () => Promise<void>): Promise<void> {
  last = last.then(step);
  return last;
}

async function start(): Promise<void> {
  const setting = workspace.getConfiguration("hoggin").get<string>("command");
  const { command, args } = serverStart(setting, homedir());
  const started = new Client(
    LANGUAGE,
    "Hoggin",
    { command, args: [...args] },
    {
      documentSelector: ["file", "untitled"].map((scheme) => ({ scheme, language: LANGUAGE })),
      initializationFailedHandler: () => false, // `start` says so itself
    },
  );
  client = started;
  try {
    await started.start();
    started.starting = false;
  } catch (reason) {
    client = undefined;
    void window.showWarningMessage(notStarted({ command, args }, reason));
  }
}

async function stop(): Promise<void> {
  const running = client;
  client = undefined;
  await running?.dispose().catch(() => undefined); // it may have died of itself
}
