// The role that tests on a server use: one that may not let triggers rest is refused with what to do, before any test runs.
import { expect, test } from 'vitest'
import { openTestDatabase, serverUrl } from '../support/database.ts'
import { mayLetTriggersRest, onServer } from '../support/template-database.ts'

await openTestDatabase()

test.runIf(serverUrl)('a role that may not let triggers rest is refused with what it needs', async () => {
  await onServer(serverUrl ?? '', async (server) => {
    await mayLetTriggersRest(server)
    await server.query('BEGIN')
    await server.query(`CREATE ROLE fillwright_plain_role`)
    await server.query(`SET LOCAL ROLE fillwright_plain_role`)
    await expect(mayLetTriggersRest(server)).rejects.toThrow('must be a superuser')
    await server.query('ROLLBACK')
  })
})
