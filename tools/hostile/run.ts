// npm run hostile [-- --seed N --requests N --seconds S, or --sample]: attacks a server of its own, and shows that it goes on: no fault, no crash, memory
// as before, and others served meanwhile. Exit code 1 where one of these is not so.
import { fork, spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { parseArgs } from 'node:util'
import { z } from 'zod'
import { schema } from '../../src/schema/schema.ts'
import { percentile } from '../bench/statistics.ts'
import { type Caller, callerOf } from '../serving/caller.ts'
import { load } from '../serving/load.ts'
import { ownDatabase } from '../serving/own-database.ts'
import { GREEDY, POLITE, p99Of } from './clients.ts'
import { type Attack, type Found, foundShape, memoryShape, type Parts, partsShape } from './parts.ts'
import { rootFields } from './walk-schema.ts'

const { values } = parseArgs({
  options: {
    ...{ seed: { type: 'string' }, requests: { type: 'string' }, seconds: { type: 'string' } },
    sample: { type: 'boolean', default: false },
  },
})
const seed = Number(values.seed ?? 1)
const requests = Number(values.requests ?? 20_000)
/** A sample is short, and may run beside other work. */
const { sample } = values
/** Of the attack; 0: as long as its requests take. */
const seconds = sample ? 8 : Number(values.seconds ?? 0)

/** Hostile requests at a time. */
const TOGETHER = 8
/** Requests of the greedy brewery at a time. */
const GREED = 16
/** Times of the quiet 99th percentile that others may wait. Where a brewery waited for all that others had sent it was 42 times. */
const SLACK = sample ? 6 : 1
const MOST_BESIDE_ATTACK = 5 * SLACK
const MOST_BESIDE_GREED = 3 * SLACK
/** Bytes that memory may grow. */
const MOST_GROWN = 50 * 1024 * 1024
/** Seconds of each stretch in which clients are timed. */
const STRETCH = sample ? 3 : Math.max(5, Math.min(20, seconds / 3 || 20))
/** Seconds in which what is loaded once is loaded. */
const WARMING = sample ? 2 : 5

const database = await ownDatabase(undefined)
const child = spawn(process.execPath, ['--expose-gc', '--import', 'tsx', 'tools/hostile/server.ts'], {
  // Slow bodies are cut off sooner, so that many can be tried.
  env: {
    ...process.env,
    ...database.environment,
    PORT: '0',
    KEY_REQUESTS: '1000000000',
    KEY_COST: '1000000000000',
    HEADERS_SECONDS: '2',
    BODY_SECONDS: '4',
  },
  stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
})
const errors: string[] = []
child.stderr?.on('data', (text) => errors.push(String(text)))
/** Rejects when the server ends, with what it said. */
const ended = once(child, 'exit').then(([code, signal]): never => {
  throw new Error(`the server ended with ${code ?? signal}:\n${errors.join('').slice(-10_000)}`)
})
ended.catch(() => undefined)
try {
  const wrong = await attacked(await partsOf()).catch((error: unknown) => [String(error)])
  for (const each of wrong) console.log(`WRONG  ${each}`)
  if (wrong.length > 0) console.log(errors.join('').slice(0, 10_000))
  process.exitCode = wrong.length > 0 ? 1 : 0
} finally {
  child.kill('SIGKILL')
  await database.drop()
}

async function attacked(parts: Parts): Promise<string[]> {
  const { address, keys } = parts
  const polite = <Result>(work: (caller: Caller) => Promise<Result>) => asCaller(address, keys.polite, work)
  const timed = (during: number) =>
    polite(async (caller) => p99Of(await load(1, during, (n) => caller.ask(...POLITE[n % POLITE.length]!))))
  const revision = () => polite((caller) => caller.ask('{ distributor { revision } }'))
  const ids = await idsOf(parts)
  const before = await revision()
  // Both quiet and warm: what is loaded once is loaded.
  await timed(WARMING)
  const warmUp: Attack = { parts, ids, seed: seed + 1, requests: 1500, seconds: 0, together: TOGETHER }
  const warm = await attack(seconds > 0 ? { ...warmUp, requests: sample ? 150 : 300 } : warmUp)
  const memoryBefore = await memory()
  const quiet = [await timed(STRETCH)]

  const attacking = attack({ parts, ids, seed, requests, seconds, together: TOGETHER })
  const besideAttack = await timed(STRETCH)
  const found = await attacking
  const memoryAfter = await memory()
  quiet.push(await timed(STRETCH))

  const greedy = callerOf(address, keys.greedy, GREED)
  for (const question of GREEDY) await greedy.ask(...question)
  const greed = load(GREED, STRETCH, (n) => greedy.ask(...GREEDY[n % GREEDY.length]!))
  const besideGreed = await timed(STRETCH)
  const { perSecond } = await greed
  quiet.push(await timed(STRETCH))
  const after = await revision()
  const faults = z.array(z.string()).parse(await asked('faults'))
  greedy.close()

  // The median of the three: a stretch that other work of the machine made slow would hide what attack and greed do. In a sample, whose
  // stretches take seconds, one pause of the machine is the 99th percentile: there the slowest of them counts.
  const usual = percentile(quiet, sample ? 1 : 0.5)
  const grown = memoryAfter - memoryBefore
  const ms = (time: number) => `${time.toFixed(1)} ms`
  console.log(`${found.sent} hostile requests from seed ${seed}: ${JSON.stringify(found.answers)}`)
  console.log(`memory ${mib(memoryBefore)} before, ${mib(memoryAfter)} after, ${mib(grown)} more`)
  const stretches = quiet.map(ms).join(', ')
  console.log(
    `a polite client's 99th percentile: ${ms(usual)} when it is quiet (before, between, after: ${stretches}),`,
  )
  console.log(
    `  ${ms(besideAttack)} beside the attack, ${ms(besideGreed)} beside a greedy brewery (${perSecond.toFixed(0)} answers a second)`,
  )
  const failures = [...warm.failures, ...found.failures]
  return [
    ...failures.slice(0, 10).map(({ number, kind, why, request }) => `request ${number} (${kind}): ${why}\n${request}`),
    ...(failures.length > 10 ? [`${failures.length - 10} more such requests`] : []),
    ...(child.exitCode !== null || child.signalCode !== null ? ['the server ended'] : []),
    ...faults.slice(0, 5).map((each) => `a fault of the server: ${each}`),
    ...(seconds === 0 && found.sent < requests ? [`only ${found.sent} requests were sent`] : []),
    ...(grown > MOST_GROWN ? [`memory has grown by ${mib(grown)}; at most ${mib(MOST_GROWN)}`] : []),
    ...(besideAttack > MOST_BESIDE_ATTACK * usual
      ? [`beside the attack others wait ${(besideAttack / usual).toFixed(1)} times as long`]
      : []),
    ...(besideGreed > MOST_BESIDE_GREED * usual
      ? [`beside a greedy brewery others wait ${(besideGreed / usual).toFixed(1)} times as long`]
      : []),
    ...(JSON.stringify(before) === JSON.stringify(after) ? [] : ['records of a brewery that only asked have changed']),
  ]
}

/** Works on a connection of its own: the server closes one that rests, and a request that is sent just then is lost. */
async function asCaller<Result>(address: string, key: string, work: (caller: Caller) => Promise<Result>) {
  const caller = callerOf(address, key, 1)
  try {
    return await work(caller)
  } finally {
    caller.close()
  }
}

/** Attacks from a process of its own, so that the clients whose answers are timed here are not slowed down by it. */
async function attack(work: Attack): Promise<Found> {
  const attacker = fork('tools/hostile/attacker.ts', { execArgv: ['--import', 'tsx'] })
  const gone = once(attacker, 'exit').then(([code]) => {
    throw new Error(`the attacker ended with ${code}`)
  })
  gone.catch(() => undefined)
  attacker.send(work)
  const [found] = await Promise.race([once(attacker, 'message'), gone, ended])
  attacker.disconnect()
  return foundShape.parse(found)
}

/** Where the server answers. Rejects where it ends without saying so. */
async function partsOf(): Promise<Parts> {
  if (!child.stdout) throw new Error('the server has no output')
  const [line] = await Promise.race([once(createInterface(child.stdout), 'line'), ended])
  return partsShape.parse(JSON.parse(String(line)))
}

/** Bytes that the server uses once its garbage is collected: heap, what is outside of it, and buffers. */
async function memory(): Promise<number> {
  const { heapUsed, external } = memoryShape.parse(await asked('memory'))
  // Buffers are part of what is outside of the heap.
  return heapUsed + external
}

async function asked(question: 'memory' | 'faults'): Promise<unknown> {
  const answer = once(child, 'message').then(([said]) => said)
  if (child.connected) child.send(question)
  return Promise.race([answer, ended])
}

/** Ids of all that the queries without arguments show of two breweries. */
async function idsOf({ address, keys }: Parts): Promise<string[]> {
  const ids = new Set<string>()
  const names = rootFields(schema).flatMap(({ operation, name, field }) =>
    operation === 'query' && String(field.type).includes('Connection') ? [name] : [],
  )
  for (const key of [keys.own, keys.polite])
    await asCaller(address, key, async (caller) => {
      for (const name of names) {
        const answer = await caller.ask(`{ ${name}(first: 5) { edges { node { ... on Node { id } } } } }`)
        for (const [, id] of JSON.stringify(answer).matchAll(/"id":"([^"]+)"/g)) if (id) ids.add(id)
      }
    })
  return [...ids]
}

function mib(bytes: number): string {
  return `${(bytes / 1024 / 1024).toFixed(1)} MiB`
}
