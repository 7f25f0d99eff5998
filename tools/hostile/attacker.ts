// Attacks the server as its parent asks, and says what was found.

import { once } from 'node:events'
import { Agent } from 'node:http'
import { schema } from '../../src/schema/schema.ts'
import { attackShape, type Found } from './parts.ts'
import { HostileRequests } from './requests.ts'
import { send } from './send.ts'

/** Failures that are kept; of more only the number counts. */
const MOST_KEPT = 50

const { parts, ids, seed, requests: most, seconds, together } = attackShape.parse((await once(process, 'message'))[0])
const hostile = new HostileRequests(schema, parts.keys, ids, seed)
const agent = new Agent({ keepAlive: true, maxSockets: together + 20 })
const ends = performance.now() + 1000 * seconds
const found: Found = { sent: 0, answers: {}, failures: [] }

await Promise.all(Array.from({ length: together }, attack))
agent.destroy()
process.send?.(found)

async function attack(): Promise<void> {
  while (seconds > 0 ? performance.now() < ends : found.sent < most) {
    const number = found.sent++
    const request = hostile.next()
    const { answer, failure } = await send(parts.address, agent, request)
    found.answers[answer] = (found.answers[answer] ?? 0) + 1
    if (failure === undefined || found.failures.length >= MOST_KEPT) continue
    const text = `${request.method} ${request.path.slice(0, 500)} ${JSON.stringify(request.headers).slice(0, 300)}\n${String(request.body ?? '').slice(0, 3000)}`
    found.failures.push({ number, kind: request.kind, why: failure, request: text })
  }
}
