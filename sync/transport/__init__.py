"""Places where devices of a practice meet: a folder, a WebDAV server, an S3 store, behind one small set of operations.

Nothing here knows what the bytes mean. Names are those of `sync.wire.names`, and each is written by one device alone.
"""
