// The page's side of a worker: questions with their answers, and "the latest alone" for what follows the hand.
import type { Answer, Request } from "./messages";
import type { FromWorker } from "./worker";

function text(id: string): string {
  return document.getElementById(id)?.textContent ?? "";
}

// The core as it stands packed in the page.
let compiled: Promise<WebAssembly.Module> | null = null;
function compile(): Promise<WebAssembly.Module> {
  compiled ??= (async () => {
    const packed = Uint8Array.from(atob(text("core-wasm").trim()), (c) => c.charCodeAt(0));
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
    return WebAssembly.compile(await new Response(stream).arrayBuffer());
  })();
  return compiled;
}

let script: string | null = null;
function scriptAddress(): string {
  script ??= URL.createObjectURL(new Blob([text("core-script")], { type: "text/javascript" }));
  return script;
}

export class Link {
  private worker: Worker;
  private ready: Promise<void>;
  private next = 1;
  private waiting = new Map<number, (answer: unknown) => void>();
  private pending = new Map<string, { request: Request; done: (answer: unknown) => void }>();
  private busy = new Set<string>();
  lastTook = 0;
  told: (doing: string, share: number) => void = () => undefined;

  constructor() {
    this.worker = new Worker(scriptAddress());
    this.ready = new Promise((ready, failed) => {
      this.worker.onmessage = (event: MessageEvent<FromWorker>) => {
        const m = event.data;
        if ("ready" in m) ready();
        else if ("failed" in m) failed(new Error(m.failed));
        else if ("doing" in m) this.told(m.doing, m.share);
        else {
          this.lastTook = m.took;
          this.waiting.get(m.id)?.(m.answer);
          this.waiting.delete(m.id);
        }
      };
      this.worker.onerror = (event) => failed(new Error(event.message));
      compile().then((module) => this.worker.postMessage({ module }), failed);
    });
  }

  async ask<T>(request: Request): Promise<Answer<T>> {
    await this.ready;
    return new Promise((done) => {
      const id = this.next++;
      this.waiting.set(id, (answer) => done(answer as Answer<T>));
      this.worker.postMessage({ id, request });
    });
  }

  // One question of a channel at a time; of those that come meanwhile the last alone is asked, and only its answer
  // and that of the one under way come back. The rest end as null.
  latest<T>(channel: string, request: Request): Promise<Answer<T> | null> {
    return new Promise((done) => {
      this.pending.get(channel)?.done(null);
      this.pending.set(channel, { request, done: (a) => done(a as Answer<T> | null) });
      if (!this.busy.has(channel)) void this.run(channel);
    });
  }

  private async run(channel: string): Promise<void> {
    this.busy.add(channel);
    for (let job = this.pending.get(channel); job; job = this.pending.get(channel)) {
      this.pending.delete(channel);
      job.done(await this.ask(job.request));
    }
    this.busy.delete(channel);
  }

  stop(): void {
    this.worker.terminate();
  }
}
