"""The limits this shop works to."""

from __future__ import annotations

from django.db import models


class ShopPolicy(models.Model):
    """One row. ``limits`` holds overrides of the checker's policy, by the names of the stack file."""

    name = models.CharField(max_length=120, default="")
    address = models.TextField(blank=True)
    limits = models.JSONField(default=dict, blank=True)
    changed_at = models.DateTimeField(auto_now=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_shop_policy")]

    def __str__(self) -> str:
        return self.name
