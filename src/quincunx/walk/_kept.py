"""What was worked out about things that stay the same objects from scene to scene."""

from quincunx.scene._kept import Kept, forget_all

__all__ = ["Kept", "forget_all"]
