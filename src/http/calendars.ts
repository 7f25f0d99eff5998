// The calendar of a site beside GraphQL, read by GET or HEAD: /calendars/plan.ics. Programs that cannot send headers show their key
// as the password, or in the address (`?key=`), where only a key will do that may read plans and nothing else.
import type { Plugin } from 'graphql-yoga'
import { isKnown } from './documents.ts'
import { type HttpAnswer, wrongMethod } from './refusals.ts'
import { refusal } from './sheets.ts'

const PATH = '/calendars/plan.ics'

/** What a request may read. */
export interface OpenCalendar {
  /** Changes with whatever the calendar depends on. */
  tag: string
  read: () => Promise<string>
}

export interface CalendarsOptions {
  /** Throws a refusal where the key is not good, or where it may not be in an address. */
  open: (request: Request, parameters: URLSearchParams) => Promise<OpenCalendar>
  onFault: (error: unknown, id: string) => void
}

/** Answers requests for the calendar. */
export function calendars({ open, onFault }: CalendarsOptions): Plugin {
  return {
    async onRequest({ request, url, fetchAPI, endResponse }) {
      if (url.pathname !== PATH) return
      const { body, ...init } = await answer(request, url.searchParams, open).catch((error: unknown) =>
        refusal(error, onFault),
      )
      endResponse(new fetchAPI.Response(request.method === 'HEAD' ? null : body, init))
    },
  }
}

async function answer(
  request: Request,
  parameters: URLSearchParams,
  open: CalendarsOptions['open'],
): Promise<HttpAnswer> {
  const refused = wrongMethod(request, 'GET', 'HEAD')
  if (refused) return refused
  const { tag, read } = await open(request, parameters)
  const etag = `W/"${tag}"`
  // The address may have a key in it: nothing on the way keeps the answer, and no page that it leads to hears of it.
  const kept = { etag, 'cache-control': 'private, no-cache', vary: 'authorization, x-api-key' }
  if (isKnown(request.headers.get('if-none-match'), etag)) return { status: 304, headers: kept, body: null }
  return {
    status: 200,
    headers: { ...kept, 'content-type': 'text/calendar; charset=utf-8', 'referrer-policy': 'no-referrer' },
    body: await read(),
  }
}
