// The line to the language server: messages are sent in order, several in one request, and the
// answers come as events.

export class Line {
  #post;
  #waiting = [];
  #sending = false;
  #isOpen = false;
  #handler = null;

  /** post: sends messages to the server; what it returns ends when they have arrived. */
  constructor(post) {
    this.#post = post;
  }

  /** The server knows this page: send what has waited for that. */
  open() {
    this.#isOpen = true;
    this.#send();
  }

  hear(message) {
    this.#handler?.(message);
  }

  /** As the client of the language server wants it; a new one for a new connection. */
  transport() {
    this.#waiting = [];
    return {
      send: (message) => {
        this.#waiting.push(message);
        this.#send();
      },
      subscribe: (handler) => {
        this.#handler = handler;
      },
      unsubscribe: (handler) => {
        if (this.#handler === handler) this.#handler = null;
      },
    };
  }

  async #send() {
    if (!this.#isOpen || this.#sending) return;
    this.#sending = true;
    while (this.#waiting.length) {
      const messages = this.#waiting;
      this.#waiting = [];
      await this.#post(messages).catch(() => {}); // the page's events say that the line is cut
    }
    this.#sending = false;
  }
}
