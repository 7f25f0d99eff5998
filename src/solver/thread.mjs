// The start of every thread that runs our own sources, so that requests are answered meanwhile. Plain JavaScript, so that
// the thread starts in any environment (tsx, vitest); it brings its own loader for the TypeScript sources.
import { workerData } from 'node:worker_threads'
import { register } from 'tsx/esm/api'

register()
await import(workerData.module)
