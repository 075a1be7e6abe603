/**
 * Stands in for the SDK's chain of credential sources when functions are bundled: a function has no other source than
 * its environment, and the chain weighs 130 KB.
 */
export const defaultProvider = () => async () => {
  const { AWS_ACCESS_KEY_ID, AWS_SECRET_ACCESS_KEY, AWS_SESSION_TOKEN } = process.env
  if (AWS_ACCESS_KEY_ID === undefined || AWS_SECRET_ACCESS_KEY === undefined) {
    throw new Error('AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY are not set')
  }
  return {
    accessKeyId: AWS_ACCESS_KEY_ID,
    secretAccessKey: AWS_SECRET_ACCESS_KEY,
    ...(AWS_SESSION_TOKEN === undefined ? {} : { sessionToken: AWS_SESSION_TOKEN }),
  }
}
