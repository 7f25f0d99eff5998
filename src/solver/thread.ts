// The start of every thread that runs our own sources, so that requests are answered meanwhile: it does one task after the other.
import { parentPort } from 'node:worker_threads'
import type { ThreadModule, ThreadTask } from './on-thread.ts'

/** Does a task; `say` is heard by the one who gave it. The result is the last that is said. */
type Run = (task: never, say: (message: unknown) => void) => void | Promise<void>

const MODULES: Record<ThreadModule, () => Promise<{ run: Run }>> = {
  './plan-thread.ts': () => import('./plan-thread.ts'),
  './bound-thread.ts': () => import('./bound-thread.ts'),
  './share-thread.ts': () => import('./share-thread.ts'),
}

parentPort?.on('message', ({ module, task }: ThreadTask<never>) => {
  // What is thrown ends the thread with the error.
  void MODULES[module]().then(({ run }) => run(task, (message) => parentPort?.postMessage(message)))
})
