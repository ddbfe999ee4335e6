// The physics in a worker: one instance of the core, asked in the order in which questions come.
import type { Request } from "./messages";

interface Core {
  ccall(name: string, returns: "string", takes: ["string"], values: [string]): string;
  told?: (doing: string, share: number) => boolean;
}
declare function loadCore(options: object): Promise<Core>;

export type ToWorker = { module: WebAssembly.Module } | { id: number; request: Request };
export type FromWorker =
  | { ready: true }
  | { failed: string }
  | { id: number; answer: unknown; took: number }
  | { doing: string; share: number };

const scope = self as unknown as {
  postMessage(message: FromWorker): void;
  onmessage: ((event: MessageEvent<ToWorker>) => void) | null;
};

let core: Core | null = null;
let last = 0;

async function start(module: WebAssembly.Module): Promise<void> {
  core = await loadCore({
    instantiateWasm(imports: WebAssembly.Imports, done: (instance: WebAssembly.Instance) => void) {
      void WebAssembly.instantiate(module, imports).then(done);
      return {};
    },
  });
  core.told = (doing, share) => {
    const now = performance.now();
    if (now - last > 100) {
      last = now;
      scope.postMessage({ doing, share });
    }
    return true;
  };
  scope.postMessage({ ready: true });
}

scope.onmessage = (event) => {
  const message = event.data;
  if ("module" in message) {
    start(message.module).catch((error: unknown) => scope.postMessage({ failed: String(error) }));
    return;
  }
  if (!core) return;
  const begun = performance.now();
  let answer: unknown;
  try {
    answer = JSON.parse(core.ccall("leverwright_ask", "string", ["string"], [JSON.stringify(message.request)]));
  } catch (error) {
    answer = { problems: [{ line: 0, line_text: "", what: String(error), expected: "", advice: "" }] };
  }
  scope.postMessage({ id: message.id, answer, took: performance.now() - begun });
};
