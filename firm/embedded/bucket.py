"""Make the bucket that S3_BUCKET names: python -m firm.embedded.bucket."""

import boto3

from firm.env import text


def ensure_bucket() -> None:
    """Make the bucket unless it is there; harmless when repeated."""
    store = boto3.client(
        "s3",
        endpoint_url=text("S3_ENDPOINT_URL", "") or None,
        aws_access_key_id=text("S3_ACCESS_KEY"),
        aws_secret_access_key=text("S3_SECRET_KEY"),
        region_name=text("S3_REGION", "us-east-1"),
    )
    wanted = text("S3_BUCKET")
    if wanted not in {one["Name"] for one in store.list_buckets()["Buckets"]}:
        store.create_bucket(Bucket=wanted)


if __name__ == "__main__":
    ensure_bucket()
