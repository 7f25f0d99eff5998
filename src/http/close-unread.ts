// Says that the connection ends after an answer to a request whose body was read in part (RFC 9112, 9.6): the rest has no reader, and a
// client that is not warned would send its next request there. A body of which nothing was read is no matter: Node reads it to its end.
import { IncomingMessage } from 'node:http'
import type { Plugin } from 'graphql-yoga'

export const closeUnread: Plugin = {
  onResponse({ response: { headers }, serverContext }) {
    const request = serverContext && 'req' in serverContext ? serverContext.req : undefined
    if (!(request instanceof IncomingMessage) || request.complete || !request.readableDidRead) return
    headers.set('connection', 'close')
  },
}
