// The start of every thread that runs our own sources, so that requests are answered meanwhile: the module that it is for.
import { workerData } from 'node:worker_threads'
import type { ThreadData, ThreadModule } from './on-thread.ts'

const MODULES: Record<ThreadModule, () => Promise<unknown>> = {
  './plan-thread.ts': () => import('./plan-thread.ts'),
  './bound-thread.ts': () => import('./bound-thread.ts'),
  './share-thread.ts': () => import('./share-thread.ts'),
}

const { module }: ThreadData<unknown> = workerData
// A thread that cannot begin ends with the error.
void MODULES[module]()
