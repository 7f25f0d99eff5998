// How a process ends: asked to, and after a fault that nothing caught.
import { spawn } from 'node:child_process'
import { expect, test } from 'vitest'

/** Runs a program that stops in a moment, and has something go wrong or be asked for. */
async function ended(what: string) {
  const program = `
    import { stopOnSignals } from './src/start/stop-on-signals.ts'
    const stop = () => new Promise((stopped) => setTimeout(() => { console.log('finished what was begun'); stopped() }, 100))
    stopOnSignals(stop, (error) => console.log('fault: ' + error.message))
    setInterval(() => {}, 1000)
    ${what}`
  const child = spawn(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', program])
  let said = ''
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (text) => (said += text))
  const code = await new Promise((resolve) => child.on('close', resolve))
  return { code, said }
}

test('a rejected promise that nothing waits for is said, what was begun is finished, and the process ends with 1', async () => {
  const fault = "void Promise.reject(new Error('one')); setTimeout(() => { throw new Error('two') }, 20)"
  expect(await ended(fault)).toEqual({ code: 1, said: 'fault: one\nfault: two\nfinished what was begun\n' })
})

test('asked to end it finishes what was begun and ends with 0', async () => {
  expect(await ended("process.kill(process.pid, 'SIGTERM')")).toEqual({ code: 0, said: 'finished what was begun\n' })
})
