/** The extension: starts the compiler's language server, and shows what it says of a plant. */

import { homedir } from "node:os";

import { commands, type ExtensionContext, Position, Selection, Uri, window, workspace } from "vscode";
import { type ExecuteCommandSignature, LanguageClient } from "vscode-languageclient/node";

import { type Flowsheet, Preview } from "./preview";
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
let preview: Preview | undefined;
/** Starts and stops wait for each other, however fast they are asked for. */
let last: Promise<void> = Promise.resolve();

export function activate(context: ExtensionContext): Promise<void> {
  preview = new Preview(context, ask);
  context.subscriptions.push(
    preview,
    commands.registerCommand("hoggin.preview", (uri?: Uri) => preview?.show(uri)),
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

/** What the server says of a document's plant; undefined while it does not run. */
async function ask(uri: string): Promise<Flowsheet | null | undefined> {
  return client?.sendRequest<Flowsheet | null>("hoggin/flowsheet", { textDocument: { uri } });
}

/** The commands of the lenses: the editor has better places for both than the server's messages. */
async function carryOut(
  command: string,
  given: unknown[],
  next: ExecuteCommandSignature,
): Promise<unknown> {
  const [uri, line, character] = given as [string, number, number];
  switch (command) {
    case "hoggin.flowsheet":
      return preview?.show(Uri.parse(uri));
    case "hoggin.details": {
      const place = new Position(line, character);
      await window.showTextDocument(Uri.parse(uri), { selection: new Selection(place, place) });
      return commands.executeCommand("editor.action.showHover");
    }
    default:
      return next(command, given);
  }
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
      initializationOptions: { previews: true },
      initializationFailedHandler: () => false, // `start` says so itself
      middleware: { executeCommand: carryOut },
    },
  );
  client = started;
  started.onNotification("hoggin/balanced", ({ uri }: { uri: string }) => preview?.renew(uri));
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
