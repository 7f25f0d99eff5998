// Traces as a collector gets them: OTLP 1.x over HTTP in JSON (opentelemetry-proto, "JSON Protobuf Encoding" and examples/trace.json), and
// the header `traceparent` of W3C Trace Context, whose examples are used here.
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { traceParentOf } from '../../src/operations/trace-parent.ts'
import { Traces } from '../../src/operations/traces.ts'

const received: { path: string | undefined; key: unknown; type: unknown; body: string }[] = []
let status = 200
const collector = createServer(async (request, response) => {
  const body = (await request.setEncoding('utf8').toArray()).join('')
  const { 'x-key': key, 'content-type': type } = request.headers
  received.push({ path: request.url, key, type, body })
  response.writeHead(status).end('{}')
})
await new Promise<void>((resolve) => collector.listen(0, '127.0.0.1', resolve))
afterAll(() => collector.close())
const address = collector.address()
const port = (address as AddressInfo).port

const lost: number[] = []
const sendingTo = (endpoint: string) =>
  new Traces({
    ...{ endpoint, headers: { 'x-key': 'secret' }, serviceName: 'cellar' },
    now: () => new Date('2027-03-12T08:00:01.500Z'),
    onLost: (_error, spans) => lost.push(spans),
  })

const hex = (digits: number) => z.string().regex(new RegExp(`^[0-9a-f]{${digits}}$`))
const nanoseconds = z.string().regex(/^\d{19}$/)
const value = z.union([z.strictObject({ stringValue: z.string() }), z.strictObject({ intValue: z.string() })])
const attributes = z.array(z.strictObject({ key: z.string(), value }))
const span = z.strictObject({
  traceId: hex(32),
  spanId: hex(16),
  parentSpanId: hex(16).optional(),
  name: z.string().min(1),
  kind: z.int().min(0).max(5),
  startTimeUnixNano: nanoseconds,
  endTimeUnixNano: nanoseconds,
  attributes,
  status: z.strictObject({ code: z.int() }).optional(),
})
const message = z.strictObject({
  resourceSpans: z.array(
    z.strictObject({
      resource: z.strictObject({ attributes }),
      scopeSpans: z.array(z.strictObject({ scope: z.strictObject({ name: z.string() }), spans: z.array(span) })),
    }),
  ),
})

const PARENT = { traceId: '4bf92f3577b34da6a3ce929d0e0e4736', parentSpanId: '00f067aa0ba902b7' }

test('a span comes to the collector within its trace, with its times, kind and attributes', async () => {
  const traces = sendingTo(`http://127.0.0.1:${port}/`)
  const isServer = { isServer: true, isFault: true, parent: PARENT }
  traces.ended({ name: 'query promise', seconds: 1.5, attributes: { 'http.response.status_code': 500 }, ...isServer })
  traces.ended({ name: 'job SOLVE_DRAFT', seconds: 0.25, attributes: {} })
  await traces.close()
  expect(received).toHaveLength(1)
  expect(received[0]).toMatchObject({ path: '/v1/traces', key: 'secret', type: 'application/json' })
  const [{ resource, scopeSpans } = { resource: undefined, scopeSpans: [] }] = message.parse(
    JSON.parse(received[0]?.body ?? ''),
  ).resourceSpans
  expect(resource?.attributes).toEqual([{ key: 'service.name', value: { stringValue: 'cellar' } }])
  const [request, job] = scopeSpans[0]?.spans ?? []
  expect(request).toMatchObject({ ...PARENT, name: 'query promise', kind: 2, status: { code: 2 } })
  const end = BigInt(Date.parse('2027-03-12T08:00:01.500Z')) * 1_000_000n
  expect([request?.startTimeUnixNano, request?.endTimeUnixNano]).toEqual([String(end - 1_500_000_000n), String(end)])
  expect(request?.attributes).toEqual([{ key: 'http.response.status_code', value: { intValue: '500' } }])
  expect(job).toMatchObject({ name: 'job SOLVE_DRAFT', kind: 1 })
  expect(job).not.toHaveProperty('parentSpanId')
  expect(job?.traceId).not.toBe(PARENT.traceId)
})

test('a collector that refuses or is away loses spans, which is said, and nothing else fails', async () => {
  status = 503
  for (const endpoint of [`http://127.0.0.1:${port}`, 'http://127.0.0.1:1']) {
    const traces = sendingTo(endpoint)
    traces.ended({ name: 'query beers', seconds: 0.1, attributes: {} })
    await traces.close()
  }
  expect(lost).toEqual([1, 1])
})

test('a trace goes on where the caller records it, and no other header begins one', () => {
  const { traceId, parentSpanId } = PARENT
  expect(traceParentOf(`00-${traceId}-${parentSpanId}-01`)).toEqual(PARENT)
  expect(traceParentOf(`00-${traceId}-${parentSpanId}-00`), 'not recorded').toBeUndefined()
  for (const bad of [null, '', `00-${traceId}-${parentSpanId}`, `00-${'0'.repeat(32)}-${parentSpanId}-01`])
    expect(traceParentOf(bad)).toBeUndefined()
})
