// Work on a thread of its own: one task in, messages out. A thread that has done its task waits for the next one: a new one begins with
// code that is not compiled yet, and searches a small problem at a tenth of the pace. One of each module waits as long as the process lives,
// since hours may lie between two plans; those beside it a while.
import { Worker } from 'node:worker_threads'
import { solverCode, type WithSolverCode } from './solver-code.ts'
import { threadCode } from './thread-code.ts'

/** The modules that run on such threads (`src/solver/thread.ts`). */
export type ThreadModule = './plan-thread.ts' | './bound-thread.ts' | './share-thread.ts'

/** What a thread is given to do. */
export interface ThreadTask<Task> {
  module: ThreadModule
  task: Task
}

/** How long a thread waits for its next task beside another of its module, in milliseconds, and how many of a module wait at most. */
const PATIENCE = 30_000
const MOST_WAITING = 4

/** Threads that have done their tasks, by the module that they have run, the last one last. */
const waiting = new Map<ThreadModule, Waiting[]>()

interface Waiting {
  worker: Worker
  /** Takes it from those that wait. */
  wake: () => void
  /** Ends it. */
  end: () => Promise<unknown>
}

/**
 * Runs `module` on a thread with `task`. `hear` gets what it says, and answers the result once it has it (undefined: go on), which is
 * the last that it says. Aborting ends the thread. Rejects with what the thread or `hear` threw, or with the signal's reason.
 */
export async function runOnThread<Task, Message, Result>(
  module: ThreadModule,
  task: Task,
  hear: (message: Message) => Result | undefined,
  signal?: AbortSignal,
): Promise<Result> {
  signal?.throwIfAborted()
  const worker = waitingThread(module) ?? (await newThread())
  return new Promise((resolve, reject) => {
    const settle = () => {
      signal?.removeEventListener('abort', abort)
      worker.off('message', listen)
      worker.off('error', fail)
      worker.off('exit', exited)
    }
    const fail = (error: unknown) => {
      settle()
      reject(error)
      void ended(worker)
    }
    const abort = () => fail(signal?.reason)
    const exited = () => fail(new Error('A thread ended without a result.'))
    const listen = (message: Message) => {
      try {
        const result = hear(message)
        if (result === undefined) return
        settle()
        resolve(result)
        letWait(module, worker)
      } catch (error) {
        fail(error)
      }
    }
    if (signal?.aborted) return abort()
    signal?.addEventListener('abort', abort)
    worker.on('message', listen)
    worker.on('error', fail)
    worker.on('exit', exited)
    const work: ThreadTask<Task> = { module, task }
    worker.postMessage(work)
  })
}

/** Ends the threads that wait, for those who count what is left: threads that work go on. */
export async function endWaitingThreads(): Promise<void> {
  await Promise.all([...waiting.values()].flat().map(({ end }) => end()))
}

/** Ends a thread. What it still throws is about work that is not wanted any more. */
function ended(worker: Worker): Promise<unknown> {
  worker.on('error', () => undefined)
  return worker.terminate()
}

async function newThread(): Promise<Worker> {
  const [code, compiled] = await Promise.all([threadCode(), solverCode()])
  const workerData: WithSolverCode = { solverCode: compiled }
  return new Worker(code, { eval: true, workerData, execArgv: [] })
}

function waitingThread(module: ThreadModule): Worker | undefined {
  const last = waiting.get(module)?.at(-1)
  last?.wake()
  return last?.worker
}

/** Lets a thread wait for its next task. It keeps no process from ending meanwhile. */
function letWait(module: ThreadModule, worker: Worker): void {
  const list = waiting.get(module) ?? []
  waiting.set(module, list)
  if (list.length >= MOST_WAITING) {
    void ended(worker)
    return
  }
  const leave = () => {
    clearTimeout(patience)
    worker.off('error', end)
    worker.off('exit', end)
    list.splice(list.indexOf(each), 1)
  }
  const end = () => {
    leave()
    return ended(worker)
  }
  const wake = () => {
    leave()
    worker.ref()
  }
  const patience = list.length > 0 ? setTimeout(end, PATIENCE).unref() : undefined
  const each: Waiting = { worker, wake, end }
  list.push(each)
  worker.on('error', end)
  worker.on('exit', end)
  worker.unref()
}
