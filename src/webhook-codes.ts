// Refusals about webhooks.

/** By code: the kind, what it means and what the caller can do. */
export const WEBHOOK_REFUSALS = {
  BAD_WEBHOOK_URL: [
    'INVALID_INPUT',
    'The text is no address that can be sent to.',
    'Give a whole address that begins with https:// and has no password in it.',
  ],
  TOO_MANY_WEBHOOKS: ['CONFLICT', 'There are 20 webhooks already.', 'Remove one that is of no use any more.'],
  WEBHOOK_DISABLED: [
    'CONFLICT',
    'The webhook is switched off: its address answered 410.',
    'Switch it on with enableWebhook once the address takes messages again.',
  ],
} as const
