// What runs the server asks it: is it ready (`/health/ready`), and what has it counted (`/metrics`)?
import { createHash, timingSafeEqual } from 'node:crypto'
import type { Plugin } from 'graphql-yoga'
import type { PrismaClient } from '../database/client.ts'
import type { Metrics } from '../operations/metrics.ts'
import { answerOf, type HttpAnswer, refusedRequest, wrongMethod } from './refusals.ts'

/** `/health/ready`: 200 while the database answers and the server does not stop, else 503. */
export function readiness(client: PrismaClient, stopping?: AbortSignal): Plugin {
  return {
    async onRequest({ url, fetchAPI, endResponse }) {
      if (url.pathname !== '/health/ready') return
      const { body, ...init } = await readyAnswer(client, stopping)
      endResponse(new fetchAPI.Response(body, init))
    },
  }
}

/** What a process answers that is asked whether it is ready. */
export async function readyAnswer(
  client: Pick<PrismaClient, '$queryRaw'>,
  stopping?: AbortSignal,
): Promise<HttpAnswer> {
  const words = stopping?.aborted ? 'the server stops' : await faultOf(client)
  const headers = { 'content-type': 'text/plain; charset=utf-8' }
  return { status: words === undefined ? 200 : 503, headers, body: `${words ?? 'ready'}\n` }
}

async function faultOf(client: Pick<PrismaClient, '$queryRaw'>): Promise<string | undefined> {
  return client.$queryRaw`SELECT 1`.then(
    () => undefined,
    () => 'the database does not answer',
  )
}

/** `/metrics`, for those who show the token; there is no such address where none is set. */
export function metricsPage(metrics: Metrics | undefined, token: string | undefined): Plugin {
  if (!metrics || token === undefined) return {}
  return {
    async onRequest({ request, url, fetchAPI, endResponse }) {
      if (url.pathname !== '/metrics') return
      const asked = { method: request.method, authorization: request.headers.get('authorization') }
      const { body, ...init } = await metricsAnswer(asked, metrics, token)
      endResponse(new fetchAPI.Response(request.method === 'HEAD' ? null : body, init))
    },
  }
}

/** What a process answers that is asked for its metrics. */
export async function metricsAnswer(
  asked: { method: string; authorization: string | null },
  metrics: Metrics,
  token: string,
): Promise<HttpAnswer> {
  const refused = wrongMethod(asked, 'GET', 'HEAD')
  if (refused) return refused
  const shown = /^bearer +(\S+) *$/i.exec(asked.authorization ?? '')?.[1]
  if (shown === undefined) return answerOf(refusedRequest('KEY_MISSING'))
  if (!timingSafeEqual(digest(shown), digest(token))) return answerOf(refusedRequest('KEY_UNKNOWN'))
  const text = await metrics.text().catch(() => undefined)
  if (text === undefined) return answerOf(refusedRequest('DATABASE_AWAY'))
  return { status: 200, headers: { 'content-type': metrics.contentType, 'cache-control': 'no-store' }, body: text }
}

function digest(text: string): Buffer {
  return createHash('sha256').update(text).digest()
}
