// What is wrong at once with inputs about keys and webhooks: the mutation, its input, and the path and code of each fault.
import type { Issue } from '../../src/errors.ts'

type Expected = [path: string, code: Issue['code']][]

const NO_OVERLAP: Expected[number] = ['overlapMinutes', 'OUT_OF_RANGE']

export const FAULTS_OF_ACCESS: [mutation: string, input: object, expected: Expected][] = [
  [
    'createApiKey',
    { name: '', scopes: ['beer:drink', 'keys:write'] },
    [
      ['name', 'BAD_LENGTH'],
      ['scopes[0]', 'UNKNOWN_SCOPE'],
      ['scopes[1]', 'SCOPE_NOT_YOURS'],
    ],
  ],
  [
    'registerWebhook',
    { url: 'ftp://shop.example', kinds: [] },
    [
      ['url', 'BAD_WEBHOOK_URL'],
      ['kinds', 'BAD_LENGTH'],
    ],
  ],
  ['rotateWebhookSecret', { webhook: 'none', overlapMinutes: -1 }, [NO_OVERLAP, ['webhook', 'NO_SUCH_THING']]],
  ['rotateApiKey', { id: 'none', overlapMinutes: -1 }, [NO_OVERLAP, ['id', 'NO_SUCH_THING']]],
]
