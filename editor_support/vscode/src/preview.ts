/** The flowsheet beside the text: a panel that follows the document last shown, and its results. */

import {
  type Disposable,
  type ExtensionContext,
  Position,
  Range,
  Selection,
  type TextDocument,
  type TextEditor,
  TextEditorRevealType,
  Uri,
  ViewColumn,
  type Webview,
  type WebviewPanel,
  window,
} from "vscode";

import { page } from "./page";

const LANGUAGE = "hoggin";

/** What the server says of a plant; the page in `media/` shows it as it is. */
export interface Flowsheet {
  readonly title?: string;
  readonly said: string;
  readonly lines?: Readonly<Record<string, number>>;
}

/** Asks the server; undefined while it does not run. */
export type Ask = (uri: string) => Promise<Flowsheet | null | undefined>;

type Said = { readonly kind: "ready" } | { readonly kind: "go"; readonly line: number };

export class Preview implements Disposable {
  private panel: WebviewPanel | undefined;
  private shown: Uri | undefined;
  private asked = 0;
  private readonly following: Disposable[];

  constructor(
    private readonly context: Pick<ExtensionContext, "extensionUri">,
    private readonly ask: Ask,
  ) {
    this.following = [
      window.onDidChangeActiveTextEditor((editor) => this.follow(editor?.document)),
      window.onDidChangeTextEditorSelection(({ textEditor }) => this.mark(textEditor)),
    ];
  }

  /** Opens the panel beside the text, or brings it to the front. */
  async show(uri?: Uri): Promise<void> {
    this.shown = uri ?? this.document()?.uri ?? this.shown;
    if (this.panel !== undefined) {
      this.panel.reveal(undefined, true);
      return this.renew();
    }
    const media = Uri.joinPath(this.context.extensionUri, "media");
    const panel = window.createWebviewPanel(
      "hoggin.flowsheet",
      "Flowsheet",
      { viewColumn: ViewColumn.Beside, preserveFocus: true },
      { enableScripts: true, localResourceRoots: [media] },
    );
    this.panel = panel;
    panel.onDidDispose(() => {
      this.panel = undefined;
    });
    panel.webview.onDidReceiveMessage((said: Said) => this.take(said));
    panel.webview.html = this.html(panel.webview, media);
  }

  /** Shows the newest results, if they are of the document that is shown. */
  async renew(uri = this.shown?.toString()): Promise<void> {
    const panel = this.panel;
    if (panel === undefined || this.shown === undefined || uri !== this.shown.toString()) return;
    const asked = ++this.asked;
    const found = await this.ask(uri).catch(() => undefined);
    if (asked !== this.asked) return; // a later question has the newer answer
    panel.title = found?.title ? `Flowsheet: ${found.title}` : "Flowsheet";
    await panel.webview.postMessage({ kind: "show", found: found ?? null });
    this.mark(window.activeTextEditor);
  }

  dispose(): void {
    this.panel?.dispose();
    for (const one of this.following) one.dispose();
  }

  private follow(document: TextDocument | undefined): void {
    if (document?.languageId !== LANGUAGE) return;
    this.shown = document.uri;
    void this.renew();
  }

  /** Marks in the drawing what the line of the cursor states. */
  private mark(editor: TextEditor | undefined): void {
    if (editor === undefined || editor.document.uri.toString() !== this.shown?.toString()) return;
    void this.panel?.webview.postMessage({ kind: "mark", line: editor.selection.active.line });
  }

  private document(): TextDocument | undefined {
    const document = window.activeTextEditor?.document;
    return document?.languageId === LANGUAGE ? document : undefined;
  }

  private async take(said: Said): Promise<void> {
    if (said.kind === "ready") return this.renew();
    if (this.shown === undefined || !Number.isInteger(said.line)) return;
    const place = new Position(said.line, 0);
    const editor = await window.showTextDocument(this.shown, {
      viewColumn: this.column(),
      selection: new Selection(place, place),
    });
    editor.revealRange(new Range(place, place), TextEditorRevealType.InCenterIfOutsideViewport);
  }

  private column(): ViewColumn {
    const shown = this.shown?.toString();
    const editor = window.visibleTextEditors.find((one) => one.document.uri.toString() === shown);
    return editor?.viewColumn ?? ViewColumn.One;
  }

  private html(webview: Webview, media: Uri): string {
    const address = (name: string) => webview.asWebviewUri(Uri.joinPath(media, name)).toString();
    return page(address("preview.css"), address("preview.js"), webview.cspSource);
  }
}
