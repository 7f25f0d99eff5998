// The code of HiGHS, compiled once in a process and shared by its threads: one that compiles its own keeps a processor busy for a second
// while a plan is searched.
import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { workerData } from 'node:worker_threads'

/** What threads that may solve models find in their `workerData`. */
export interface WithSolverCode {
  solverCode: WebAssembly.Module
}

let code: Promise<WebAssembly.Module> | undefined

/** The compiled code: that of the thread which began this one, where it has some. Rejects where the package is not there. */
export function solverCode(): Promise<WebAssembly.Module> {
  const given: Partial<WithSolverCode> | null | undefined = workerData
  code ??= given?.solverCode ? Promise.resolve(given.solverCode) : compiled()
  return code
}

async function compiled(): Promise<WebAssembly.Module> {
  return WebAssembly.compile(await readFile(createRequire(import.meta.url).resolve('highs/runtime')))
}
