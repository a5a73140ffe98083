"""Addresses of the bearing book and of what the checker says of a stack."""

from __future__ import annotations

from django.urls import path

from repairs.office import assessments, book, book_comparison, book_files

urlpatterns = [
    path("book/", book.book, name="book"),
    path("book/file/", book_files.book_import, name="book_import"),
    path("book/file/checked/<int:pk>/", book_files.book_checked, name="book_checked"),
    path("book/file/take-in/", book_files.book_take_in, name="book_take_in"),
    path("book/file/template/", book_files.book_template, name="book_template"),
    path("book/sources/<int:pk>/file/", book_files.book_export, name="book_export"),
    path("book/editions/", book_comparison.book_editions, name="book_editions"),
    path("book/sources/new/", book.source_new, name="source_new"),
    path("book/sources/<int:pk>/", book.source, name="source"),
    path("book/sources/<int:pk>/edit/", book.source_edit, name="source_edit"),
    path("book/sources/<int:pk>/ratings/new/", book.rating_new, name="rating_new"),
    path("book/ratings/<int:pk>/", book.rating, name="rating"),
    path("book/ratings/<int:pk>/edit/", book.rating_edit, name="rating_edit"),
    path("jobs/<str:number>/stacks/<int:pk>/assessment/", assessments.assessment, name="assessment"),
    path("jobs/<str:number>/stacks/<int:pk>/confirm/", assessments.confirm_finding, name="confirm_finding"),
    path("jobs/<str:number>/stacks/<int:pk>/accept/", assessments.accept_finding, name="accept_finding"),
    path("check-file/", assessments.check_file, name="check_file"),
]
