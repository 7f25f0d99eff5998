// Work on a thread of its own: one task in, messages out.
import { Worker } from 'node:worker_threads'
import { threadCode } from './thread-code.ts'

/** The modules that run on such threads (`src/solver/thread.ts`). */
export type ThreadModule = './plan-thread.ts' | './bound-thread.ts' | './share-thread.ts'

/** What a thread finds in its `workerData`. */
export interface ThreadData<Task> {
  module: ThreadModule
  task: Task
}

/**
 * Runs `module` on a thread with `task`. `hear` gets what it says, and answers the result once it has it (undefined: go on).
 * Aborting ends the thread. Rejects with what the thread or `hear` threw, or with the signal's reason.
 */
export async function runOnThread<Task, Message, Result>(
  module: ThreadModule,
  task: Task,
  hear: (message: Message) => Result | undefined,
  signal?: AbortSignal,
): Promise<Result> {
  const code = await threadCode()
  return new Promise((resolve, reject) => {
    signal?.throwIfAborted()
    const workerData: ThreadData<Task> = { module, task }
    const worker = new Worker(code, { eval: true, workerData, execArgv: [] })
    const settle = (finish: () => void) => {
      signal?.removeEventListener('abort', abort)
      finish()
      void worker.terminate()
    }
    const abort = () => settle(() => reject(signal?.reason))
    signal?.addEventListener('abort', abort)
    worker.on('message', (message: Message) => {
      try {
        const result = hear(message)
        if (result !== undefined) settle(() => resolve(result))
      } catch (error) {
        settle(() => reject(error))
      }
    })
    worker.on('error', (error) => settle(() => reject(error)))
    worker.on('exit', () => settle(() => reject(new Error('A thread ended without a result.'))))
  })
}
